"""What is said of each kind of claim: its two sentences, the code where it is refuted, and the unit of its values.

A new kind has one row here.  In a sentence `{who}` is the subject, `{want}` what is claimed, `{got}` what was found.
"""

from attrs import frozen

from stepcheck.model.claims import Kind


@frozen
class Said:
    """What is said of a kind of claim.

    Attributes:
        proved: the sentence where it holds.
        refuted: the sentence where it does not.
        code: the name of the code of a refutation.
        unit: what its values are numbers of.
        midway: the two sentences at a place in the middle of a dance or part, where the usual ones speak of its end.
        mend: how to change the steps, where the values of the claim do not tell.
    """

    proved: str
    refuted: str
    code: str
    unit: str
    midway: tuple[str, str] | None = None
    mend: str = ""


KINDS: dict[Kind, Said] = {
    Kind.LEAD: Said(
        "{who} begins with the {want} foot",
        "{who} should begin with the {want} foot, but {got}",
        "foot-not-free",
        "foot",
    ),
    Kind.FOOT: Said(
        "{who} ends with the {want} foot free",
        "{who} should end with the {want} foot free, but {got}",
        "wrong-free-foot",
        "foot",
        (
            "{who} has the {want} foot free at this point",
            "{who} should have the {want} foot free at this point, but {got}",
        ),
    ),
    Kind.BOTH: Said(
        "{who} ends on both feet",
        "{who} should end on both feet, but {got}",
        "not-both-feet",
        "foot",
        ("{who} is on both feet at this point", "{who} should be on both feet at this point, but {got}"),
        "end on a movement that takes both feet",
    ),
    Kind.STAND: Said(
        "{who} begins on both feet",
        "{who} should begin on both feet, but {got}",
        "not-both-feet",
        "foot",
        mend="come onto both feet before here",
    ),
    Kind.FACING: Said(
        "{who} ends facing {want}",
        "{who} should end facing {want}, but ends facing {got}",
        "wrong-facing",
        "eighths",
        ("{who} faces {want} at this point", "{who} should face {want} at this point, but faces {got}"),
    ),
    Kind.LENGTH: Said("{who} lasts {want}", "{who} should last {want}, but lasts {got}", "wrong-length", "ticks"),
    Kind.COUNTS: Said(
        "{who} holds {want} of steps", "{who} should {edge} {want}, but {edge}s {got}", "wrong-counts", "ticks"
    ),
    Kind.TURN: Said(
        "{who} makes {want} in all", "{who} should make {want} in all, but makes {got}", "wrong-turn", "eighths"
    ),
    Kind.NET: Said(
        "{who} goes from {want}", "{who} should go from {want}, but ends {got}", "wrong-net-facing", "eighths"
    ),
    Kind.SECTION: Said(
        "{who} is filled: {want}",
        "{who} should be danced for {want}, but is danced for {got}",
        "music-not-filled",
        "ticks",
    ),
    Kind.ALTERNATIVES: Said(
        "the alternatives of this line last equally long",
        "the alternatives of this line should last equally long, but last {got}",
        "unequal-alternatives",
        "ticks",
        mend="make all of them last equally long",
    ),
    Kind.FIGURE: Said(
        "{who} lasts {want}", "{who} should last {want}, but its movements last {got}", "wrong-figure-length", "ticks"
    ),
    Kind.WALLS: Said("{who} has {want}", "{who} should have {want}, but {got}", "wrong-walls", "eighths"),
    Kind.TIME: Said(
        "{who} is danced often enough", "{who} should be danced often enough, but is not", "time-never-comes", "times"
    ),
    Kind.SAME_WALL: Said(
        "the groups face the same wall {want}",
        "the groups should face the same wall {want}, but {got}",
        "groups-differ",
        "eighths",
    ),
    Kind.SAME_BEAT: Said(
        "the groups have danced equally long {want}",
        "the groups should have danced equally long {want}, but {got}",
        "groups-differ",
        "ticks",
    ),
    Kind.SPOT: Said("{who} {want}", "{who} should {want}, but {got}", "off-its-spot", "steps"),
    Kind.APART: Said(
        "the groups never meet {want}", "the groups should never meet {want}, but {got}", "groups-differ", "ticks"
    ),
    Kind.MIRROR: Said(
        "the groups are mirror images {want}",
        "the groups should be mirror images {want}, but {got}",
        "groups-differ",
        "foot",
    ),
}

LOOSE_TURN = (
    "{who} makes {want} in all",
    "{who} should make {want} in all, but ends elsewhere once the facing before it is taken as put right",
)
