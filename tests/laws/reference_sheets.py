"""Small sheets with their verdicts, worked out by hand from the meaning of the language.

Every sheet has the figures of `HEAD`: Ford takes a count and changes the foot, Lock two and keeps it; Swing turns a
quarter to the lead's own side; Gate a half to the right on its first count; Leap and Eddy land on both feet, Eddy
turning; Wharf steps and lands on both; Quay is a stomp, which is read in two ways.  The left foot goes first.
"""

from typing import NamedTuple

PLAIN = """book: clogging
{header}
"""

HEAD = """\
book: line
lead: left
{header}
figures:
  Ford: S
  Lock: S S
  Swing, turn 1/4 left: S
  Gate, turn 1/2 right @1: S S
  Leap: JUMP
  Eddy, turn 1/4 right: JUMP
  Wharf: S JUMP
  Quay: STO
"""


class Worked(NamedTuple):
    """A sheet and what comes of it: the verdicts on its claims in order of the sheet, a letter each (p proved, r
    refuted, v vacuous, u undecided; i for an ill-formed sheet), and why."""

    construct: str
    body: str
    verdicts: str
    why: str
    header: str = ""
    readings: str = "usual"
    head: str = HEAD

    @property
    def text(self) -> str:
        """The whole sheet."""
        own = self.head.format(header=self.header)
        lines = self.body.split("\n")
        return own + "\n" + "\n".join(lines) + "\n"


def sheet(
    construct: str, rows: str, verdicts: str, why: str, header: str = "", readings: str = "usual", head: str = HEAD
) -> Worked:
    """Return a worked sheet; `rows` has its lines between strokes, a stroke's own line indented as written."""
    return Worked(construct, "\n".join(rows.split(" / ")), verdicts, why, header, readings, head)


A, D, DA = "part A:", "dance:", "dance: /   A"
SHEETS = (
    sheet("foot on a line", f"{A} /   Ford /   Ford, right foot / {DA}", "p", "a step leaves the other foot free"),
    sheet("foot on a line", f"{A} /   Ford /   Ford, left foot / {DA}", "r", "the right foot is free"),
    sheet(
        "foot on a line",
        f"{A} /   Ford /   Ford, left foot /   Ford, right foot / {DA}",
        "rp",
        "it goes on from the left",
    ),
    sheet(
        "foot on a line", f"{A} /   Ford x2, left foot /   Ford, left foot / {DA}", "pp", "it is that of the first time"
    ),
    sheet(
        "foot on a line", f"{A} /   Leap /   Ford, left foot /   expect right foot / {DA}", "pp", "it may follow both"
    ),
    # -- both feet
    sheet(
        "both feet",
        f"{A} /   Leap /   expect both feet /   expect left foot / {DA}",
        "pr",
        "left foot is not true of both",
    ),
    sheet(
        "both feet",
        f"{A} /   Leap /   Ford /   expect left foot / {DA}",
        "r",
        "a choice of lead: who led left has right free",
    ),
    sheet(
        "both feet", f"{A} /   Leap /   Lock /   Lock / {D} /   A /   expect facing front", "p", "indifference is fine"
    ),
    sheet(
        "both feet", f"{A} /   Leap /   Eddy /   expect facing right wall, both feet / {DA}", "pp", "danced as written"
    ),
    sheet(
        "both feet",
        f"{A} /   Ford /   Eddy /   expect facing left wall / {DA}",
        "p",
        "led by the right: the mirror image",
    ),
    sheet(
        "both feet",
        f"{A} /   Leap /   Eddy, right foot /   expect facing left wall / {DA}",
        "pp",
        "first the weight goes left",
    ),
    sheet("both feet", f"{A} /   Lock, both feet /   expect left foot / {DA}", "rr", "from both, either foot may lead"),
    sheet(
        "both feet", f"{A} /   Wharf /   Swing /   expect facing left wall / {DA}", "r", "who leads right turns right"
    ),
    # -- turns and facings
    sheet("turns", f"{A} /   Swing, facing left wall / {DA}", "p", "a quarter to the left"),
    sheet("turns", f"{A} /   Ford /   Swing /   expect facing right wall / {DA}", "p", "a built-in turn reverses"),
    sheet(
        "turns",
        f"{A} /   Ford /   Swing, turn 1/4 left /   expect facing left wall / {DA}",
        "p",
        "a written one is absolute",
    ),
    sheet("turns", f"{A} /   Swing, no turn /   expect facing front / {DA}", "p", "no turn removes it"),
    sheet("turns", f"{A} /   Swing x2, turn 1/4 left, facing back / {DA}", "p", "a turn on x2 is each time's"),
    sheet("turns", f"part A: no turn /   Lock, turn full left / {DA}", "r", "a full turn is not no turn"),
    sheet("turns", f"part A: full turn left /   Lock, turn full left / {DA}", "p", "a total"),
    sheet("turns", f"{A} /   Lock, turn 1/2 / {DA}", "i", "a turn on a line has a side"),
    sheet(
        "facing",
        f"{D} /   A /   expect facing right wall /   A /   expect facing front / {A} /   Swing /   expect facing left wall",
        "ppr",
        "inside a part front is where the pass began; the second pass turns right, and goes on as if it had been left",
        "facing: back",
    ),
    sheet(
        "facing",
        f"{D} /   expect facing right wall /   A /   expect facing back / {A} /   Lock, turn 1/4 right, facing right wall",
        "ppp",
        "in the dance front is the room's",
        "facing: 3:00",
    ),
    sheet(
        "facing",
        f"{A} /   Lock, turn 1/4 right /   Lock, turn 1/4 right, facing 6:00 /   expect facing front / {DA}",
        "pr",
        "one at the back doesn't face front",
    ),
    # -- contracts
    sheet("length", f"part A: 2 counts /   Lock / {DA}", "p", "two counts"),
    sheet("length", "part A: 3 counts /   Lock / dance: 3 counts /   A", "rp", "it goes on as if it had lasted three"),
    sheet("length", f"part A: 4 counts /   hold 1 count /   Ford x3 / {DA}", "p", "silence counts"),
    sheet(
        "length", f"{A} /   Ford x4, 4 counts /   Ford x4, 3 counts / {DA}", "pr", "a length on x4 is that of all four"
    ),
    sheet("net facing", f"part A: front to back /   Gate / {D} /   Swing /   A", "p", "from any wall"),
    sheet("net facing", f"part A: right wall to left wall /   Gate / {DA}", "p", "not a demand to start there"),
    sheet(
        "net facing",
        f"part A: front to front /   Gate / {D} /   A /   expect facing front",
        "rp",
        "it goes on at its facing",
    ),
    sheet(
        "net facing",
        f"part A: 1/4 turn right, front to back /   Swing, turn 1/4 right / {D} /   A /   expect facing back",
        "prp",
        "judged together; where they contradict each other the facing is the net's",
    ),
    sheet(
        "net facing",
        f"part A: front to back, 1/4 turn right /   Swing, turn 1/4 right / {D} /   A /   expect facing back",
        "rpp",
        "the order of the pieces means nothing",
    ),
    sheet(
        "turn without a side",
        f"part A: 1/2 turn /   Lock, turn 1/2 left | Lock, turn 1/2 right / {DA}",
        "pp",
        "each by herself",
    ),
    sheet(
        "turn without a side",
        f"part A: 1/2 turn /   Lock, turn 1/4 left / {D} /   A /   expect facing back",
        "rp",
        "taken as right",
    ),
    sheet("turn without a side", f"part A: 1/2 turn /   Lock, turn 1 1/2 left / {DA}", "r", "a total, not a remainder"),
    sheet("turn without a side", f"part A: 1/4 turn /   Swing / {DA}", "i", "less than a half is asked for its side"),
    sheet(
        "turn without a side",
        f"part A: 1/2 turn right /   B x2 / part B: 1/2 turn /   Ford, turn 1/4 right / {DA}",
        "rr",
        "each pass is taken as a half to the right, which makes a whole turn",
    ),
    sheet("feet", f"part A: left foot to right foot /   Ford / {DA}", "pp", "a step changes the foot"),
    sheet(
        "feet",
        f"part A: left foot to left foot /   Ford / {D} /   A x2",
        "pr",
        "the second pass begins as the first should end",
    ),
    sheet(
        "feet",
        f"part A: right foot /   Ford /   expect left foot / {DA}",
        "rp",
        "it orders and claims; it goes on from the right",
    ),
    sheet("feet", f"part A: left foot to both feet /   Wharf / {D} /   Leap /   A", "pp", "it may follow both feet"),
    sheet("feet", f"part A: both feet /   Ford / {DA}", "r", "the weight is on one foot"),
    # -- after a finding
    sheet(
        "loose turns",
        f"part A: 1/2 turn left /   Swing /   expect facing back / {DA}",
        "pr",
        "known up to whole turns only",
    ),
    sheet(
        "loose turns",
        f"part A: 1/4 turn left /   Swing /   expect facing back / {DA}",
        "rr",
        "the facing is taken as back",
    ),
    sheet(
        "loose turns",
        f"part A: 1 1/2 turns right /   Swing /   expect facing back / {DA}",
        "pr",
        "a whole turn more or less",
    ),
    sheet(
        "loose turns",
        f"part A: 1/4 turn left /   Lock, turn 1/4 left | Lock, turn 1 1/4 right /   expect facing left wall / {DA}",
        "ppr",
        "only who was wrong gets a loose turn, and a quarter to the left fits it",
    ),
    sheet(
        "loose turns",
        f"part A: 1/4 turn left /   Lock, turn 1 3/4 right | Lock, turn 1 1/4 right /   expect facing left wall / {DA}",
        "rpr",
        "who was right has turned one and three quarters to the right",
    ),
    sheet(
        "loose turns",
        f"part B: 1/4 turn left /   A /   expect facing left wall / {A} /   Lock, facing left wall / {D} /   B",
        "ppr",
        "a loose turn inside a part is loose around it",
    ),
    # -- figures
    sheet(
        "figure length",
        f"  Barge, 3 counts: S S / part A: 3 counts /   Barge / {DA}",
        "rp",
        "its movements last two counts",
    ),
    sheet(
        "figure length", f"  Barge, 3 counts: S HOLD S / part A: 3 counts /   Barge / {DA}", "pp", "silence is written"
    ),
    sheet(
        "figure length",
        f"  Barge, 2 counts: S@1 S@1& S@2 / {A} /   Barge /   expect right foot / {DA}",
        "pp",
        "inside a beat",
    ),
    sheet("figure length", f"  Barge, 2 counts: S S(R) S / {A} /   Barge / {DA}", "r", "three counts"),
    sheet("figure length", f"  Barge: S S(L) / {A} /   Barge / {DA}", "i", "the left foot has the weight"),
    sheet(
        "cut in a figure",
        f"{A} /   Lock, turn 1/4 left @2 / {D} /   A, first 1 count /   expect facing front, right foot",
        "pp",
        "the movements of count 1 alone, and not the turn of count 2",
    ),
    sheet(
        "cut in a figure",
        f"{A} /   Gate / {D} /   A, first 1 count /   expect facing back",
        "p",
        "the turn has its count",
    ),
    sheet(
        "cut in a figure", f"{A} /   Lock, turn 1/4 left / {D} /   A, first 1 count", "i", "nobody knows when they turn"
    ),
    sheet(
        "cut in a beat",
        f"{A} /   Lock / {D} /   A, first 1 1/2 counts /   expect left foot",
        "p",
        "the step on 2 is made before the cut",
    ),
    sheet(
        "cut in a beat",
        f"  Barge, 2 counts: S@1 S@1& S@2 S@2& / {A} /   Barge / {D} /   A, first 1 1/2 counts /   expect right foot",
        "pp",
        "the step on 2& is not made at its own moment",
    ),
    sheet(
        "cut in a beat",
        f"{A} /   hold 1/2 count /   Lock / {D} /   A, first 1 count /   expect right foot",
        "p",
        "the first step falls between the beats of the part",
    ),
    sheet(
        "cut in a beat",
        f"{A} /   Lock, turn 1/4 left @2 / {D} /   A, first 1 1/4 counts /   expect facing left wall, left foot",
        "pp",
        "a turn comes with its count",
    ),
    sheet(
        "cut in a beat",
        f"{A} /   S BA / {D} /   A, first 1 count /   expect right foot /   A, first 1 1/4 counts /   expect right foot",
        "pp",
        "an upbeat is danced with its beat or not at all",
        head=PLAIN,
    ),
    sheet("turn beyond the end", f"{A} /   Lock x2, turn 1/4 left @3 / {DA}", "i", "Lock has two counts"),
    sheet(
        "turn beyond the end",
        f"{A} /   Lock x2, turn 1/4 left @2 on 2nd / {DA} /   expect facing left wall",
        "pp",
        "as each time has",
    ),
    sheet("turn beyond the end", f"  Sluice, turn 1/4 left @2: S / {A} /   Sluice / {DA}", "i", "Sluice has one count"),
    # -- cuts
    sheet(
        "cut",
        f"part A: 4 counts, 1/2 turn right /   Lock /   Gate / {D} /   A, first 2 counts /   expect facing front",
        "vvp",
        "only the start of the contract is kept",
    ),
    sheet(
        "cut", f"part A: right foot, 4 counts /   Lock x2 / {D} /   A, first 2 counts", "rv", "its foot is the start"
    ),
    sheet(
        "cut",
        f"{A} /   Lock /   expect left foot /   Lock, right foot / {D} /   A, first 2 counts",
        "pv",
        "an expect at a cut is checked",
    ),
    sheet(
        "cut",
        f"{A} /   Lock, 5 counts /   Lock, turn 1/4 left / {D} /   A, first 2 counts",
        "r",
        "the counts are those danced",
    ),
    sheet(
        "cut",
        f"{A} /   Lock | Ford x2 / {D} /   A, first 1 count",
        "v",
        "alternatives in which it falls are not compared",
    ),
    sheet("cut", f"{A} /   Lock / {D} /   A, first 3 counts", "i", "there is no third count"),
    sheet(
        "cut",
        f"part A: left foot /   counts 1-4: /     Lock x2 /   counts 5-9: /     Lock x2 / {D} /   A, first 4 counts",
        "pppv",
        "a heading that begins at a cut is not reached; a pass for walls reaches nothing",
        "walls: 1",
    ),
    sheet(
        "cut",
        f"dance: 7 counts /   B, first 3 counts /   A x2 / {A} /   Lock / part B: 9 counts /   A x2",
        "pv",
        "a cut pass lasts as long as its counts",
    ),
    # -- times
    sheet(
        "times",
        f"part A: 4 counts /   3 times: /     Ford /     2nd time only: /       Ford / {DA}",
        "pp",
        "one more in the second",
    ),
    sheet(
        "times",
        f"part A: 2 counts /   2 times: /     Ford /     3rd time only: /       Ford, left foot / {DA}",
        "pvv",
        "it never comes",
    ),
    sheet(
        "times",
        f"part A: 1 count, 2nd time 2 counts /   Ford /   2nd time only: /     Ford / {D} /   A x2",
        "ppp",
        "passes of the part",
    ),
    sheet(
        "times",
        f"{A} /   Ford /   2nd time only: /     Ford, right foot / {D} /   A, first 1 count /   Ford /   A",
        "pp",
        "cut ones count",
    ),
    sheet(
        "times",
        f"part A: 5 counts /   3 times: /     Ford /     except last time: /       Ford / {DA}",
        "p",
        "twice two and one",
    ),
    sheet(
        "times",
        f"part A: left foot, 2nd time right foot to left foot /   Ford / {D} /   A x2",
        "ppp",
        "a timed foot replaces the general",
    ),
    sheet(
        "times",
        f"part A: 1/4 turn left, 3rd time no turn /   Lock, turn 1/4 left / {D} /   A x2",
        "pv",
        "no third time",
    ),
    sheet(
        "times",
        f"part A: 2 counts /   every 2nd time only: /     Ford /   Lock / {D} /   A",
        "pv",
        "no second time comes",
    ),
    sheet(
        "turn on times", f"part A: 1/2 turn left /   Ford x4, turn 1/4 left on 2nd, 4th / {DA}", "ppp", "on two of four"
    ),
    sheet(
        "turn on times",
        f"part A: 1/4 turn left /   2 times: /     Ford, turn 1/4 left on 2nd / {DA}",
        "pp",
        "the block's times",
    ),
    sheet(
        "turn on times",
        f"part A: no turn /   Swing x2, turn 1/4 right on 2nd / {DA}",
        "pp",
        "its own turn stays on the first",
    ),
    sheet(
        "turn on times", f"part A: no turn /   Ford x2, turn 1/4 right on every 3rd / {DA}", "pv", "no third time comes"
    ),
    sheet(
        "turn on times",
        f"part A: 1/4 turn right /   2 times: /     Ford x3, turn 1/8 right on last / {DA}",
        "p",
        "the line's own x3",
    ),
    sheet("turn on times", f"{A} /   Ford, turn 1/4 right on 2nd / {D} /   A x2", "i", "outside any repeat"),
    sheet("turn on times", f"{A} /   Ford x2, turn 1/4 right on 5th / {DA}", "v", "beyond the number of times"),
    # -- headings of counts
    sheet(
        "headings", f"{A} /   counts 1-2: /     Lock /   counts 3-5: /     Lock / {DA}", "pr", "two counts, not three"
    ),
    sheet(
        "headings",
        f"{A} /   counts 1-2: /     Lock /   counts 4-5: /     Lock / dance: 5 counts /   A",
        "prp",
        "it begins after two",
    ),
    sheet(
        "headings",
        f"{A} /   counts 1-1, left foot, facing left wall: /     Swing /   counts 2-2, left foot: /     Ford / {DA}",
        "ppppr",
        "its facing is what holds after it",
    ),
    sheet(
        "headings",
        f"{A} /   counts 1-2: /     Lock /   counts 3-4: /     Lock /   counts 1-2: /     Lock /   counts 3-4: /     Lock / {DA}",
        "pppp",
        "numbered anew at the second 1",
    ),
    sheet("headings", f"{A} /   2 times: /     counts 1-2: /       Lock / {DA}", "p", "from the start of each time"),
    sheet(
        "headings",
        f"{A} /   counts 1-4: /     Lock x3 / {D} /   A, first 2 counts",
        "v",
        "the cut falls before its end, and nobody knows how long it is",
    ),
    sheet(
        "headings",
        f"{A} /   counts 1-4: /     Lock x2 / {D} /   A, first 2 counts /   A",
        "p",
        "its end comes the second time",
    ),
    sheet(
        "headings",
        f"{A} /   counts 1-4: /     counts 1-2: /       Lock /     counts 3-4: /       Lock / {D} /   A, first 3 counts",
        "vpv",
        "the end of one of three comes before the cut",
    ),
    sheet(
        "headings",
        f"{A} /   counts 3-6: /     Lock x3 / {D} /   A, first 2 counts",
        "r",
        "it begins too early, whether its end comes or not",
    ),
    sheet(
        "headings",
        f"{A} /   counts 1-2: /     Lock /   counts 3-8: /     Lock x4 / dance: 7 counts /   A until the music ends",
        "pvp",
        "the music ends before it does",
    ),
    sheet(
        "headings",
        f"part A: 2 counts /   counts 1-2, both feet: /     Lock / {D} /   Leap /   A",
        "ppp",
        "the weight is on both",
    ),
    # -- variations
    sheet("variations", f"{A} /   Lock | Ford x2 /   expect left foot / {DA}", "pp", "equally long, on the same foot"),
    sheet(
        "variations", f"part A: 2 counts /   Lock | Ford / {DA}", "pr", "of unequal ones the first's length is taken"
    ),
    sheet(
        "variations",
        f"{A} /   2 times: /     Lock, turn 1/4 left | Lock /   expect facing back / {DA}",
        "pr",
        "in any mixture",
    ),
    sheet(
        "variations",
        f"{A} /   Ford, right foot | Ford, left foot /   expect right foot / {DA}",
        "prpr",
        "who picks the first goes on from the right foot",
    ),
    sheet(
        "variations", f"{A} /   B | Lock / part B: 3 counts /   Lock / {DA}", "rr", "the part is taken to last three"
    ),
    # -- parts mirrored, and on the opposite foot
    sheet(
        "swaps",
        f"part A: left foot, 1/4 turn left /   Swing, left foot, facing left wall / {D} /   Ford /   A, opposite foot",
        "pvpv",
        "feet swap; the turn and the facing are not checked",
    ),
    sheet(
        "swaps",
        f"part A: left foot, 1/4 turn left /   Swing, left foot, facing left wall / {D} /   Ford /   A, mirrored /   expect facing right wall",
        "ppppp",
        "everything swaps, and is checked",
    ),
    sheet(
        "swaps", f"part A: left foot to right foot /   Ford / {D} /   A, mirrored", "rp", "the right foot isn't free"
    ),
    sheet(
        "swaps",
        f"part A: front to right wall /   Lock, turn 1/4 right / {D} /   A, mirrored /   expect facing left wall",
        "pp",
        "written turns too",
    ),
    sheet(
        "swaps",
        f"{A} /   Lock, turn 1/4 right / {D} /   A, opposite foot /   expect facing right wall",
        "p",
        "written turns stay",
    ),
    sheet("swaps", f"{A} /   Eddy / {D} /   Leap /   A, mirrored /   expect facing left wall", "p", "every turn swaps"),
    # -- parts that are never danced
    sheet(
        "never danced",
        f"{A} /   Lock / part B: right foot to left foot /   Ford / {DA}",
        "pp",
        "from its contract's foot",
    ),
    sheet("never danced", f"{A} /   Lock / part B: both feet /   Ford, right foot / {DA}", "pp", "it begins on both"),
    sheet(
        "never danced",
        f"{A} /   Lock / part B: 3 counts /   hold 1 count /   counts 2-3, right foot: /     2 times: /       Ford / {DA}",
        "ppp",
        "its first line's foot is looked for through holds, headings and repeats",
    ),
    sheet(
        "never danced",
        f"{A} /   Lock / {'part B:'} /   Swing /   expect facing left wall / {DA}",
        "r",
        "from either foot",
    ),
    sheet(
        "never danced",
        f"{A} /   Lock / {'part B:'} /   Ford, right foot | Lock /   expect left foot / {DA}",
        "rrr",
        "only one option names a foot, so that it begins from either; a count is not two",
    ),
    sheet(
        "never danced",
        f"{A} /   Lock / part B: 2 counts /   Ford /   2nd time only: /     Ford /   last time only: /     Ford / {DA}",
        "pv",
        "it is its first and its last time",
    ),
    sheet(
        "never danced",
        f"{A} /   Ford /   2nd time only: /     Ford / part B: 3 counts /   A x2 / {DA}",
        "pp",
        "its passes count from the first there",
    ),
    sheet(
        "never danced",
        f"{A} /   Lock /   B / part B: left foot /   Ford, right foot / {D} /   A, first 2 counts",
        "pr",
        "it stands behind a cut only",
    ),
    sheet(
        "never danced",
        f"{A} /   Lock /   3rd time only: /     B / part B: 1 count /   Ford / {DA}",
        "vp",
        "in a time that never comes",
    ),
    # -- until the music ends
    sheet("until", f"part A: left foot /   Lock / {D} /   A until the music ends", "p", "it comes back to the left"),
    sheet("until", f"part A: left foot /   Ford / {D} /   A until the music ends", "r", "the second pass"),
    sheet(
        "until",
        f"part A: left foot to left foot /   Lock /   4th time only: /     Ford / {D} /   A until the music ends",
        "prp",
        "the fourth",
    ),
    sheet(
        "until",
        f"part A: left foot to left foot /   Lock /   last time only: /     Ford / {D} /   A until the music ends",
        "pr",
        "any may be the last",
    ),
    sheet(
        "until",
        f"{A} /   Lock, turn 1/4 left / {D} /   until the music ends: /     A /     expect facing left wall",
        "r",
        "the second ends at the back",
    ),
    sheet("until", f"{A} /   Lock / {D} /   A until the music ends /   A", "i", "nothing follows it"),
    sheet(
        "until",
        f"{A} /   except 2nd time: /     Ford / dance: 3 counts /   A until the music ends",
        "pp",
        "four times: 1, 0, 1, 1",
    ),
    sheet(
        "until",
        f"{A} /   except 1st time: /     Lock / dance: 4 counts /   A until the music ends",
        "pp",
        "three times: 0, 2, 2",
    ),
    sheet(
        "until",
        f"{A} /   every 2nd time only: /     Lock / dance: 5 counts /   A until the music ends",
        "pp",
        "0, 2, 0, 2, 0, and the sixth is cut",
    ),
    sheet(
        "until",
        f"{A} /   2nd time only: /     Ford /   3rd time only: /     Lock / dance: 3 counts /   A until the music ends",
        "ppp",
        "0, 1, 2",
    ),
    sheet(
        "until",
        f"{A} /   2nd time only: /     Ford /   3rd time only: /     Lock / dance: 4 counts /   A until the music ends",
        "i",
        "0, 1, 2, and nothing from then on",
    ),
    sheet(
        "until",
        f"{A} /   last time only: /     Ford / dance: 4 counts /   A until the music ends",
        "i",
        "no time but the last brings anything, and none is the last",
    ),
    sheet(
        "until",
        f"{A} /   40th time only: /     Ford /   every 3rd time only: /     hold 1 count / dance: 20 counts /   A until the music ends",
        "ppp",
        "13 holds, a Ford, and six more holds",
    ),
    # -- the music
    sheet(
        "music", f"music: /   verse 4 /   chorus 2 / {A} /   Lock / {D} /   verse: A x2 /   chorus: A", "pp", "filled"
    ),
    sheet(
        "music",
        f"music: /   verse 4 /   chorus 2 / {A} /   Lock / {D} /   verse: A /   chorus: A",
        "rp",
        "under-full; it goes on behind it",
    ),
    sheet(
        "music",
        f"music: /   verse 2 /   chorus 2 /   tail 4 / {A} /   Lock / {D} /   verse: A /   tail: A /   A",
        "prp",
        "one is left over",
    ),
    sheet(
        "music",
        f"music: /   verse 2 /   chorus 2 / {A} /   Lock / {D} /   chorus: A /   verse: A",
        "i",
        "sections come in order",
    ),
    sheet(
        "music",
        f"music: /   verse 5 / part A: 2 counts, right foot to right foot /   Ford, left foot /   Ford / {D} /   A until the music ends",
        "pprrr",
        "two passes and a count; the pass begins with the left foot, its first line with the right",
    ),
    sheet(
        "music",
        f"music: /   verse 2 /   tail 3 / {A} /   Swing /   Swing, right foot / {D} /   verse: A /   tail: A until the music ends",
        "ppp",
        "the last pass is cut inside itself",
    ),
    sheet(
        "music",
        f"{A} /   Lock /   2nd time only: /     Ford / dance: 5 counts /   A until the music ends",
        "pp",
        "a length says where it ends",
    ),
    sheet(
        "music",
        f"music: /   verse 2 /   chorus 2 /   verse 2 /   chorus 2 / {A} /   Lock / {D} /   2 times: /     verse: A /     chorus: A",
        "pppp",
        "sections named in a repeat",
    ),
    # -- walls
    sheet(
        "walls",
        f"part A: 1/4 turn left /   Swing x3, turn 1/4 left on 1st, no turn on 2nd, no turn on 3rd / {DA}",
        "ppppp",
        "a written turn is the same from either foot",
        "walls: 4",
    ),
    sheet(
        "walls",
        f"part A: 1/4 turn left /   Swing /   Lock / {DA}",
        "rp",
        "from the other foot it turns the other way",
        "walls: 4",
    ),
    sheet(
        "walls",
        f"{A} /   Lock, turn 1/4 left, facing back / {D} /   A until the music ends",
        "pr",
        "for its steps alone",
        "walls: 4",
    ),
    sheet("walls", f"{A} /   Lock, turn 1/2 left / {DA}", "r", "two come home", "walls: 4"),
    sheet("walls", f"{A} /   Ford, left foot / {DA}", "rp", "the second such pass has the wrong foot", "walls: 1"),
    sheet(
        "walls",
        f"{A} /   Ford, left foot / {D} /   A x2",
        "pr",
        "that claim is already refuted in the dance",
        "walls: 1",
    ),
    sheet("walls", f"{A} /   Leap /   Swing / {DA}", "r", "who leads right turns right", "walls: 4"),
    sheet(
        "walls",
        f"{A} /   Lock, turn 1/4 left /   2nd time only: /     Gate / {D} /   A x2",
        "pp",
        "a time that nothing names",
        "walls: 4",
    ),
    sheet(
        "walls",
        f"{A} /   Swing, right foot / {D} /   A, first 1 count",
        "pr",
        "no whole pass, and the foot is already refuted in the dance: led right, each begins with the left foot free",
        "walls: 4",
    ),
    sheet(
        "walls",
        f"{A} /   Swing, right foot / {D} /   Lock",
        "rp",
        "never danced: from the foot that goes first, which is not free",
        "walls: 4",
    ),
    sheet(
        "walls", f"{A} /   Lock / part B: /   Lock / {D} /   A /   B", "i", "nothing says what a pass is", "walls: 1"
    ),
    sheet(
        "walls",
        f"{A} /   Lock / {D} /   until the music ends: /     A /     Lock, turn 1/4 right /   ",
        "p",
        "a block is a pass",
        "walls: 4",
    ),
    # -- readings
    sheet("readings", f"{A} /   Quay /   expect right foot / {DA}", "p", "usually a stomp takes weight"),
    sheet(
        "readings",
        f"{A} /   Quay /   expect right foot / {DA}",
        "r",
        "without weight the left foot is free",
        readings="all",
    ),
    sheet(
        "readings",
        f"{A} /   Quay x2 /   expect left foot / {DA}",
        "p",
        "a reading holds for the whole dance",
        readings="all",
    ),
    sheet(
        "readings", f"{A} /   Quay /   expect left foot / {DA}", "p", "the header settles it", "stomp: no weight", "all"
    ),
    # -- blanks
    sheet("blank turn", f"{A} /   Lock, turn ? /   expect facing left wall / {DA}", "u", "a quarter to the left fits"),
    sheet(
        "blank turn",
        f"part A: 1/8 turn left /   2 times: /     Lock, turn ? / {DA}",
        "r",
        "twice the same is no odd number of eighths",
    ),
    sheet(
        "blank turn",
        f"part A: 1/4 turn left, 2 counts /   Lock, turn ? / {D} /   A /   expect facing left wall",
        "upp",
        "once it is filled",
    ),
    sheet("blank foot", f"{A} /   Ford, ? foot / {DA}", "u", "the left foot fits"),
    sheet("blank foot", f"{A} /   Leap /   Ford, ? foot / {DA}", "p", "either fits"),
    sheet(
        "blank foot",
        f"{A} /   2 times: /     Eddy, ? foot, facing left wall | Wharf / dance: /   A | Eddy",
        "rurr",
        "one that follows both feet ends at the front or the back; two counts of A differ from one of Eddy",
    ),
    sheet(
        "blank foot",
        f"{A} /   Ford x2 | Wharf, no turn /   Ford x2 | Ford x2, right foot /   Ford, ? foot / {DA}",
        "pprr",
        "whoever fills it, a dancer has the other foot free",
    ),
    sheet("blank count", f"part A: 3 counts /   Ford x? / {DA}", "u", "three times fits"),
    sheet(
        "blank count", f"part A: 3 counts /   Lock x? /   expect left foot / {DA}", "rp", "no number of twos is three"
    ),
    sheet(
        "blank count",
        f"part A: 4 counts /   ? times: /     Lock /   expect left foot / {D} /   A / ",
        "up",
        "twice fits",
    ),
    sheet(
        "blank beats",
        f"part A: 2 counts, left foot to left foot /   ? 2 counts / {D} /   A /   Ford, left foot",
        "ppup",
        "what its contract says",
    ),
    sheet(
        "blank beats",
        f"{A} /   ? 2 counts /   expect left foot /   ? 2 counts / dance: 4 counts /   A",
        "up",
        "it lasts two counts",
    ),
    sheet(
        "blank beats",
        f"{A} front to front /   ? 1 counts / {D} /   Leap /   2 times: /     A /     Eddy /   expect facing back",
        "uu",
        "a Ford fits, and dancers who come to it on both feet lead with either, afresh each time",
    ),
    sheet(
        "blank beats",
        f"{A} front to front /   Ford / {D} /   Leap /   2 times: /     A /     Eddy /   expect facing back",
        "pr",
        "the sheet above, filled",
    ),
    sheet(
        "blank beats",
        f"{A} front to front /   ? 2 counts / {D} /   2 times: /     A /     Eddy /     Ford, right foot /   expect facing back",
        "upu",
        "a Leap and a Ford fit: dancers may part within a row, from whatever foot they come",
    ),
    sheet(
        "blank beats",
        f"{A} front to front /   Leap /   Ford / {D} /   2 times: /     A /     Eddy /     Ford, right foot /   expect facing back",
        "ppr",
        "the sheet above, filled",
    ),
    sheet(
        "blank beats",
        f"{D} /   Eddy /   2 times: /     ? 2 counts /     expect facing front",
        "u",
        "what a row does from both feet need not be what it does from either",
    ),
    Worked(
        "blank beats",
        "dance:\n  Eddy\n  2 times:\n    Reel\n    Ford, left foot, turn 1/8 left\n    expect facing front",
        "pp",
        "the sheet above, filled: Reel begins on both feet as it is written, and from the left foot as its mirror image",
        head=f"{HEAD}  Reel, turn 1/8 left: JUMP\n",
    ),
    sheet(
        "blank beats",
        f"{A} 1/8 turn left /   Leap /   2 times: /     ? 2 counts /     Leap / {DA}",
        "r",
        "a dancer may do twice the same, which is no odd number of eighths",
    ),
    sheet("blank beats", f"{A} /   2 times: /     ? 1 count, / {DA}", "i", "a line that is not understood"),
)

FLOOR = f"{A} /   Ford / {D} /   together: /     odd: {{}} /     even: {{}} / "
SPLIT = "groups: odd, even"
OTHER = "groups: odd, even\neven: lead right"


def apart(construct: str, odd: str, even: str, rest: str, verdicts: str, why: str, header: str = SPLIT) -> Worked:
    """Return a worked sheet in which two groups dance apart, and then `rest`."""
    return sheet(construct, FLOOR.format(odd, even) + rest, verdicts, why, header)


FLOORS = (
    apart("same wall", "Swing", "Swing", "  expect same wall", "p", "both have turned to the left wall"),
    apart("same wall", "Swing", "Ford", "  expect same wall", "r", "one line has turned and one has not"),
    apart(
        "same wall", "Swing | Ford", "Swing | Ford", "  expect same wall", "ppr", "a dancer of each may pick otherwise"
    ),
    apart("same wall", "Gate", "Gate, turn 1/2 left", "  expect same wall", "p", "both ways round lead to the back"),
    apart("same wall", "Swing", "Swing", "  expect same wall", "r", "the other lead turns to the other wall", OTHER),
    apart("same beat", "wait 2 counts, Ford", "Lock, 2 counts", "  expect same beat", "pr", "three counts and two"),
    apart("same beat", "wait 1 count, Ford", "Lock", "  expect same beat", "p", "the wait counts"),
    apart("same beat", "Ford", "Lock, 1 count", "  expect same beat", "rp", "the length is taken as put right"),
    apart("mirror images", "Swing", "Swing", "  expect mirror images", "p", "feet and walls are mirrored", OTHER),
    apart("mirror images", "Swing", "Swing", "  expect mirror images", "r", "both have the same foot free"),
    apart(
        "mirror images", "A", "A, mirrored", "  expect mirror images", "p", "a mirrored part is the mirror image", OTHER
    ),
    apart("mirror images", "Leap", "Leap", "  expect mirror images, same wall", "pp", "both feet mirror both feet"),
    apart(
        "mirror images",
        "Gate",
        "Lock",
        "  expect mirror images",
        "r",
        "the back is no mirror image of the front",
        OTHER,
    ),
    apart(
        "each section",
        "Swing",
        "Swing",
        "  Swing",
        "p",
        "without music the end of the dance is that of its only section",
        f"{SPLIT}\neach section: same wall",
    ),
    sheet(
        "each section",
        "music: /   verse 2 /   chorus 1 / dance: /   verse: /     together: /       odd: Lock /       even: wait 1 count, Ford"
        " /   chorus: Swing",
        "rpp",
        "at the end of the chorus one line has turned to the right, for it led with the right foot; at that of the"
        " verse both face front",
        f"{SPLIT}\neach section: same wall",
    ),
    sheet(
        "each section",
        "music: /   verse 2 / dance: /   verse: /     together: /       odd: Lock /       even: Ford",
        "pr",
        "the length of the section is taken as put right before the groups are compared",
        f"{SPLIT}\neach section: same beat",
    ),
    sheet(
        "groups in a repeat",
        f"{A} /   Swing / {D} /   2 times: /     together: /       odd: A /       even: Ford /     expect same wall",
        "r",
        "apart the first time",
        SPLIT,
    ),
    sheet(
        "groups in a repeat",
        f"{D} /   2 times: /     together: /       odd: Gate /       even: Gate, turn 1/2 left /     expect same wall",
        "p",
        "at the back, and then at the front",
        SPLIT,
    ),
    sheet(
        "groups in a repeat",
        f"{D} /   2 times: /     together: /       odd: Swing /       even: Swing, turn 1/4 left /     expect same wall",
        "r",
        "together after the first time; after the second one has gone back and one round",
        SPLIT,
    ),
    sheet(
        "a group's own dance",
        "part A: 2 counts /   Lock / dance: /   together: /     odd: A /     even: Ford",
        "p",
        "a part is danced if one group dances it",
        SPLIT,
    ),
    apart("a group's own dance", "Ford", "Lock", "  Ford, right foot", "r", "one line has the left foot free"),
    apart(
        "a group's own dance", "Ford", "Ford", "  expect left foot", "r", "from the other lead it is the right", OTHER
    ),
    sheet("a group's own dance", "dance: /   together: /     odd: Ford", "i", "each group has a line", SPLIT),
)


def goes(claim: str, rows: str, verdicts: str, why: str, header: str = "") -> Worked:
    """Return a worked sheet of a part that says where it ends, danced once."""
    lines = " / ".join(f"  {row}" for row in rows.split("; "))
    return sheet(claim.split()[0], f"part A: {claim} / {lines} / {D} /   A", verdicts, why, header)


GOING = (
    goes("returns", "Ford, 1 step right; Ford, 1 step left", "p", "one step there and one back"),
    goes("returns", "Ford, 1 step right; Ford, 1 step right", "r", "two steps to the right"),
    goes(
        "returns",
        "Ford, 1 step forward; Gate, on the spot; Ford, 1 step forward",
        "p",
        "the second with the back to it",
    ),
    goes("returns", "Ford", "u", "nobody says how far a Ford goes"),
    goes("returns", "Gate, 1 step forward; Ford, 1 step forward", "p", "its own turn comes after its way"),
    goes(
        "returns",
        "Ford, 1 step forward | Ford, on the spot",
        "rp",
        "a dancer may pick the way out, and the claim stands first",
    ),
    goes("returns", "Leap, 1 step right; Ford, 1 step left", "p", "from both feet a step goes where its line says"),
    goes("returns", "? 2 counts; Ford, on the spot", "u", "what fills the blank may lead anywhere"),
    goes("returns", "hold 2 counts", "p", "silence goes nowhere"),
    goes("within 1 step", "Ford, 1 step right; Ford, 1 step left", "p", "one step away at most"),
    goes("within 1 step", "Ford, 2 steps right; Ford, 2 steps left", "r", "two steps away in the middle"),
    goes("within 2 steps", "Ford, 1 step right; Ford, 1 step forward", "p", "the diagonal of a square is no two sides"),
    goes("within 1 step", "Ford, 1 step right; Ford, 1 step forward", "r", "and more than one side"),
)

NEVER = "\neach section: never meet"
FACED = f"groups: odd, even\nodd: start 2 steps back\neven: start 2 steps forward, facing back{NEVER}"
ASIDE = f"groups: odd, even\neven: start 1 step right{NEVER}"


def meets(odd: str, even: str, verdicts: str, why: str, header: str = FACED) -> Worked:
    """Return a worked sheet of two groups that should never meet, each with its lines."""
    groups = (
        f"    {group}: / " + " / ".join(f"      {row}" for row in rows.split("; "))
        for group, rows in (("odd", odd), ("even", even))
    )
    return sheet("never meet", " / ".join((D, "  together:", *groups)), verdicts, why, header)


AHEAD, BACK = "Ford, 2 steps forward", "Ford, 2 steps back"
MEETING = (
    meets(AHEAD, AHEAD, "r", "both come to the middle"),
    meets(AHEAD, "Ford, 3 steps forward", "p", "they pass each other, and stand a step apart"),
    meets(f"Ford, 1 step right; {AHEAD}", f"Ford, 1 step right; {AHEAD}", "p", "face to face, each to her own right"),
    meets(f"Ford, 1 step right; {AHEAD}", f"Ford, 1 step left; {AHEAD}", "r", "face to face, to the same side"),
    meets("Ford, 1 step right", "Ford, 1 step left", "p", "they change places at one moment", ASIDE),
    meets("Ford, 1 step right", "Ford, on the spot", "r", "one steps to where the other stays", ASIDE),
    meets(f"{AHEAD}; {BACK}", f"hold 1 count; {AHEAD}", "p", "one has left the middle as the other comes"),
    meets(f"{AHEAD}; {BACK}", "hold 1 count; Ford, 4 steps forward", "r", "both come to one place at one moment"),
    meets(f"{AHEAD}; hold 2 counts", f"hold 2 counts; {AHEAD}", "r", "the last moment counts"),
    meets(AHEAD, f"hold 2 counts; {AHEAD}", "p", "what comes after the first of them is at the end does not"),
    meets("Ford", "Ford, on the spot", "u", "nobody says how far a Ford goes"),
    meets(f"{AHEAD} | Ford, on the spot", AHEAD, "rp", "a dancer may pick the way to the middle"),
    meets(
        AHEAD,
        AHEAD,
        "r",
        "forward is where the header faces",
        f"facing: 1:30\n{FACED}".replace("facing back", "facing 7:30"),
    ),
    meets(AHEAD, AHEAD, "i", "nobody says where either starts", f"{SPLIT}{NEVER}"),
    sheet(
        "never meet",
        f"music: /   verse 1 /   chorus 1 / dance: /   verse: /     together: /       odd: {AHEAD} /       even: {AHEAD}"
        " /   chorus: Ford",
        "rpp",
        "they have met by the end of the verse, wherever the chorus leads",
        FACED,
    ),
    sheet(
        "never meet",
        f"{A} /   Ford, 1 step right / {D} /   together: /     odd: /       2 times: /         A /     even: A x2, mirrored /   expect never meet",
        "p",
        "mirrored, the way is the other",
        "groups: odd, even\neven: start 3 steps right",
    ),
    sheet(
        "never meet",
        f"{A} /   Ford, 1 step right /   Ford, 1 step right / {D} /   together: /     odd: A, first 1 count /     even: Ford, on the spot / "
        "  expect never meet /   together: /     odd: A, first 1 count /     even: Ford, on the spot /   expect never meet",
        "pr",
        "of what is cut the first step only is danced, each time",
        "groups: odd, even\neven: start 2 steps right",
    ),
)

P = "part P:"
U = "until the music ends"


def asked(rows: str, verdicts: str, why: str, header: str = "", readings: str = "usual") -> Worked:
    """Return a sheet that an engine has once judged wrongly; its book is that of clogging."""
    return Worked("once judged wrongly", "\n".join(rows.split(" / ")), verdicts, why, header, readings, PLAIN)


ONCE_WRONG = (
    asked(
        f"part A: /   Triple /   last time only: /     Triple, turn 1/4 left, facing back / dance: /   {U}: /     except last time: /       A x2 /     Triple",
        "r",
        "the part comes last in the lap before the last one, however many these are",
    ),
    asked(
        f"part B: no turn /   Triple, turn full left /   except last time: /     Triple, turn full right / dance: /   {U}: /     except last time: /       B x3",
        "r",
        "its last pass, in the lap before the last one, turns to the left only",
    ),
    asked(
        f"part A: 4 beats, 2nd time 4 beats /   except last time: /     Triple / dance: /   A /   {U}: /     last time only: /       A",
        "pr",
        "the first pass is never the last one, since the last lap always comes",
    ),
    asked(
        "part A: /   1st time only: /     3 times: /       Triple /   Basic x4 / part C: /   except last time: /     A, first 13 beats / dance: /   C",
        "i",
        "a pass in a time that never comes is no first one, and too short for the cut",
    ),
    asked(
        f"part B: /   Basic x4 / dance: 8 beats /   B /   {U}: /     Quay",
        "i",
        "a name is looked up also where the music leaves no room for it",
    ),
    asked(
        "part A: /   Triple x?, turn 3/8 left, 8 beats /   Triple, left foot / dance: /   A, first 9 beats",
        "uu",
        "a cut behind a row that says how long it is falls behind it, however often it is danced",
    ),
    asked(
        "figures: /   Rill, turn 1/4 right: S / part B: no turn /   3rd time only: /     Rill x3 / part C: /   every 2nd time only: /     B / dance: /   C until the music ends",
        "rpp",
        "the third time of B comes in the sixth pass",
    ),
    asked(
        "figures: /   G, turn 1/4 left: S S S / part P: 1/4 turn left /   G / dance: /   P",
        "rp",
        "a pass from the other foot turns the other way",
        "walls: 4",
    ),
    asked(
        "part P: left foot /   counts 1-4: /     Basic x2 /   counts 5-9: /     Basic x2 / dance: /   P, first 4 counts",
        "pppv",
        "the second heading begins at the cut",
        "walls: 1",
    ),
    asked(
        f"{P} /   Triple, turn 1/4 left, facing left wall /   Triple, turn 1/4 right / dance: /   {U}: /     P /     expect facing back",
        "ppp",
        "a block that comes back to where it began, begun at the back",
        "walls: 1 / facing: back".replace(" / ", "\n"),
    ),
    asked(f"{P} /   Triple x2 / dance: 128 counts /   {U}: /     P", "p", "the length says where the music ends"),
    asked(
        "part P: 1/4 turn left /   Triple, turn 1/4 left | Triple, turn 1 1/4 right /   expect facing left wall / dance: /   P",
        "ppr",
        "who turned right was put right, and is known up to whole turns",
    ),
    asked(
        f"part P: 1/2 turn /   Triple x2, turn 1/4 left | Triple x2, turn 1/4 right / dance: /   P {U}",
        "pp",
        "each dancer by herself, this way or that, for ever",
    ),
    asked(
        f"{P} /   Triple, turn 1/4 left /   Triple / dance: /   P, first 4 counts",
        "p",
        "no whole pass is danced",
        "walls: 4",
    ),
    asked(
        f"{P} /   Triple, turn 1/4 left, left foot /   Triple / dance: /   Triple /   P, opposite foot",
        "pp",
        "one on the opposite foot begins none: from the foot that goes first",
        "walls: 4",
    ),
    asked(
        "part P: 2nd time left foot to right foot /   Triple, turn 1/4 left / dance: /   Triple, no turn /   P, first 4 counts /   P",
        "ppp",
        "both feet begin passes, the first of them cut",
        "walls: 4",
    ),
    asked(
        "part P: left foot /   Triple / part Q: both feet /   hold 1 beat /   Triple, right foot / dance: /   P",
        "ppp",
        "it begins on both",
    ),
    asked(
        f"{P} /   Triple / part Q: 5 beats /   hold 1 beat /   counts 2-5, right foot: /     Triple /   2nd time only: /     P / dance: /   P",
        "pppv",
        "the foot of a heading behind a hold; a second time never comes",
    ),
    asked(
        "part P: left foot, 2nd time right foot to left foot /   Triple / dance: /   P x2",
        "ppp",
        "a timed foot replaces the general one",
    ),
    asked("part P: 2nd time right foot to left foot, left foot /   Triple / dance: /   P x2", "ppp", "in either order"),
    asked(
        f"{P} /   every 3rd time only: /     Triple /   Triple x2, no turn on every 3rd / dance: /   P x2",
        "vv",
        "no third time comes",
    ),
    asked(
        f"{P} /   Triple /   counts 5-8, right foot: /     Triple / dance: /   P, first 4 beats",
        "vv",
        "it begins at the cut, and mends nothing",
    ),
    asked(
        f"{P} /   counts 1-4: /     Triple /   counts 5-8: /     Triple /   counts 1-4: /     Triple /   counts 5-8: /     Triple / dance: /   P",
        "pppp",
        "numbered anew at the second 1",
    ),
    asked(
        "part P: 1/4 turn right, front to back /   Triple, turn 1/4 right / dance: /   P /   expect facing back",
        "prp",
        "judged together",
    ),
    asked(
        "part P: front to back, 1/4 turn right /   Triple, turn 1/4 right / dance: /   P /   expect facing back",
        "rpp",
        "in either order",
    ),
    asked(
        f"{P} /   Triple, 5 beats /   Triple, turn 1/4 left / dance: /   P, first 4 beats",
        "r",
        "the cut is where it is danced",
    ),
    asked(f"{P} /   1000000 times: /     expect left foot / dance: /   P", "p", "nothing but a claim in it"),
    asked(
        f"{P} /   999 times: /     Basic | Triple /     998th time only: /       Triple / dance: /   P x2 /   Triple {U}",
        "rp",
        "unequal alternatives; the 998th time comes",
    ),
    asked(
        "part P: 32 beats /   Triple /   Basic x? / part Q: 4 beats /   Triple / dance: /   P /   Q",
        "up",
        "fourteen fit",
    ),
    # -- what the net of random sheets has found
    sheet(
        "never danced",
        "part A: /   hold 1 counts / part B: /   A /   Leap x2, right foot / dance: /   Ford",
        "p",
        "a part of holds alone is looked through",
    ),
    sheet(
        "never danced",
        "part A: right foot /   Ford / part B: /   2 times: /     last time only: /       A / dance: /   Lock",
        "p",
        "the first time dances nothing",
    ),
    sheet(
        "until",
        f"{A} /   except last time: /     Ford, 1 counts / {D} /   {U}: /     2nd time only: /       A",
        "vp",
        "the part comes once, so that its first time is its last, however long the music",
    ),
    sheet(
        "until",
        f"{A} /   last time only: /     Ford, left foot / part B: /   1st time only: /     A / {D} /   B /   {U}: /     B",
        "pp",
        "its last time lies before what goes on",
    ),
    sheet(
        "until",
        f"{A} /   last time only: /     Ford / {D} /   {U}: /     Ford /     every 2nd time only: /       A /     3rd time only: /       expect right foot",
        "ppr",
        "the dance may end with the third pass, and the last A then lies in the second",
    ),
    sheet(
        "music",
        f"music: /   verse 12 / {D} /   {U}: /     Ford /     last time only: /       Ford x4",
        "p",
        "the pass in which the music ends is the last, and is cut",
    ),
    sheet(
        "music",
        f"music: /   verse 7 / {D} /   {U}: /     Ford /     except last time: /       Ford x3",
        "r",
        "nothing follows a last pass that is too short",
    ),
    sheet(
        "music",
        f"music: /   verse 1 / {A} /   Ford / {D} /   Ford /   A {U}, left foot",
        "pv",
        "no pass is danced, so that its foot is not reached",
    ),
    sheet(
        "music",
        f"{A} /   Ford / dance: 2 counts /   ? times: /     expect facing front /   A /   A {U}",
        "pp",
        "nothing, danced any number of times, takes no time",
    ),
    sheet(
        "readings",
        f"{A} 3 counts /   Vine, 3 counts / part B: 4 counts /   Vine / {D} /   B /   A",
        "ppp",
        "a length chooses the reading of its own line alone",
    ),
    sheet(
        "cuts",
        f"{A} /   Ford x2 | Lock x2, turn full left /   Ford / {D} /   A, first 3 counts",
        "r",
        "the cut falls behind the alternatives, where the first of them says that they end",
    ),
    sheet(
        "cuts",
        f"{A} /   Ford / part B: /   A, first 3 counts / {D} /   B, first 1 counts",
        "i",
        "what can't be said can't be cut away",
    ),
    sheet(
        "times", f"{A} /   Ford /   2nd time only: /     Bridge of Sighs / {DA}", "i", "also in a time that never comes"
    ),
    sheet(
        "cuts",
        f"{A} /   Swing x2 /   2 times: /     expect facing right wall / {D} /   A, first 2 counts",
        "v",
        "the block begins at the cut",
    ),
    sheet("blanks", f"{A} /   Lock x? /   Leap | Lock / {D} /   A | Lock", "rr", "unequal alternatives behind a blank"),
    sheet(
        "blanks",
        f"{A} front to left wall /   Lock, turn ? / {D} /   A, mirrored /   A",
        "u",
        "a quarter left fits both, since it is one to the right in the mirror",
    ),
    sheet(
        "blanks",
        f"{A} /   Ford, ? foot / {D} /   A, opposite foot /   A",
        "u",
        "what fills a foot is the other one in a pass on the opposite foot",
    ),
    sheet(
        "blanks",
        f"{A} /   Wharf x? / part B: 5 counts /   A /   Leap x3 / {D} /   B",
        "u",
        "one time fits; how long A lasts waits on the number, though each number ends it alike",
    ),
    sheet(
        "cuts",
        f"{A} /   Ford x2 /   Ford x4 | Ford x2 / part B: /   A, first 5 counts / {D} /   B {U}",
        "rv",
        "a pass for its steps alone is cut where the first alternative says",
        "walls: 4",
    ),
    sheet(
        "cuts",
        f"{A} /   Ford /   2 times: /     expect right foot /     last time only: /       Ford / {D} /   A, first 1 counts",
        "v",
        "the block begins at the cut, also one whose times differ",
    ),
    sheet(
        "music",
        f"music: /   verse 6 / {A} /   Ford /   every 2nd time only: /     Ford / {D} /   A {U}",
        "pp",
        "passes of one and two counts in turn fill six with four",
    ),
    sheet(
        "cuts",
        f"{A} /   counts 1-1: /     2 times: /       except last time: /         Ford / {D} /   A, first 1 counts",
        "p",
        "nothing is left to dance of what stands under the heading",
    ),
    sheet(
        "cuts",
        f"{A} /   Ford /   last time only: /     expect facing back / {D} /   A, first 1 counts",
        "v",
        "a named time begins at the cut",
    ),
    sheet(
        "choices",
        "part A: left wall to right wall /   Vine, turn 1/4 left @1 | Vine x2 /   3 times: /     Swing / part B: /   A / "
        "dance: 342 counts /   4 times: /     3 times: /       B x3, mirrored /       Vine, both feet | Vine",
        "rrrpr",
        "dancers who part in repeats of repeats: z3 once refused a set that it had shown itself",
    ),
    sheet(
        "counts",
        f"{A} /   counts 1-2: /     Lock /   Ford /   counts 1-2: /     Lock / {DA}",
        "pr",
        "numbered anew from where the counts before end: the third count stands under no heading",
    ),
    sheet(
        "walls",
        f"{A} /   Ford, right foot, turn 1/4 right / {D} /   Ford, ? foot | Ford /   A, mirrored",
        "prpu",
        "a foot that every filling refutes in the dance excuses the passes, though the walk can't see it",
        "walls: 4",
    ),
    sheet(
        "music",
        f"music: /   verse 3 / part A: 3 counts /   Lock x? / {D} /   until the music ends: /     A /     hold 1 counts",
        "pr",
        "A lasts as it says, whatever fills its number, so that the music ends with it",
    ),
    sheet(
        "cuts",
        f"{A[:-1]}: 8 counts /   1st time only: /     Lock x? / {D} /   A x2, first 1 counts",
        "i",
        "nothing is danced the second time, whatever the contract says",
    ),
    Worked(
        "walls",
        "part A: left foot to left foot\n  Lock x3, ? foot\n\ndance: 48 counts\n  Buoy x2",
        "rpuur",
        "a pass for its steps alone is danced on behind a blank foot",
        "walls: 3",
        head="{header}\n\nfigures:\n  Lock: S S\n  Buoy, right foot: S(R) S TCH(R)\n",
    ),
    sheet(
        "cuts",
        f"{A} /   counts 1-1: /     Leap /   counts 2-2: /     expect right foot / part B: /   A / {D} /   B, first 1 counts",
        "pvv",
        "a heading that begins at the cut is not reached, also in a part that ends there",
    ),
    sheet(
        "cuts",
        f"{A} /   2 times: /     Ford x2 /     4 times: /       expect right foot / {D} /   A, first 2 counts",
        "v",
        "a block that begins at the cut is not reached, also at the end of a time",
    ),
    sheet(
        "never danced",
        f"{A} /   1st time only: /     Lock x4 / part B: /   except last time: /     A, first 3 counts / {D} /   Ford",
        "i",
        "in a time that never comes nothing is danced of the part that is to be cut",
    ),
    sheet(
        "blanks",
        f"{D} /   Ford, turn ? | Ford x2, turn ? /   expect facing right wall",
        "ru",
        "an eighth twice turns as far as a quarter once: two blanks of one line are two unknowns",
    ),
    sheet(
        "blanks",
        f"{D} /   Lock, ? foot | Ford x2, ? foot /   expect right foot",
        "puuu",
        "the left foot of one and the right one of the other",
    ),
    sheet(
        "blanks", f"{D} /   Ford x? | Ford x? /   expect right foot", "uu", "two numbers of one line are two unknowns"
    ),
    sheet(
        "blanks",
        f"{D} /   Quay, ? foot /   expect left foot",
        "ur",
        "each foot fits one reading, none both",
        readings="all",
    ),
)
