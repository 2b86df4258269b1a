"""Figures against published footwork; the source stands beside each row of figures.tsv.

The little dancer below knows three rules and shares nothing with the engines.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from stepcheck.books import book as books
from stepcheck.books import entries
from stepcheck.books.placing import Problem, last_beat, place
from stepcheck.model.dance import Action, Figure, Foot, Version, key
from stepcheck.model.movements import Actor

LINES = (Path(__file__).parent / "figures.tsv").read_text("utf-8").splitlines()
ROWS = [line.split("\t") for line in LINES if not line.startswith("#")][1:]


def end(actions: tuple[Action, ...], lead: Foot, senses: dict[str, str]) -> str:
    """Return who leads next after the movements: `same`, `other`, `both`; or the movement that cannot be made."""
    on = {lead.other}
    for action in actions:
        movement = action.movement
        label = senses.get(movement.name)
        chosen = [sense for sense in movement.senses if sense.label == label]
        sense = chosen[0] if chosen else movement.senses[movement.usual]
        if sense.actor is Actor.BOTH:
            on = set(Foot)
        elif sense.actor is Actor.FREE:
            foot = action.foot if action.foot is not None else next((foot for foot in Foot if foot not in on), lead)
            if on == {foot}:
                return f"{movement.name} at {action.tick}: the foot already has the weight"
            on = {foot} if sense.lands else {foot.other}
        elif sense.actor is Actor.SUPPORT:
            foot = action.foot if action.foot is not None else next(iter(on)) if len(on) == 1 else lead
            if foot not in on:
                return f"{movement.name} at {action.tick}: the foot has no weight"
            on = {foot}
    return "both" if len(on) == 2 else "same" if on == {lead.other} else "other"


def placed(book: books.Book, footwork: str) -> tuple[tuple[Action, ...], tuple[Problem, ...]]:
    """Return the movements of a row on their counts."""
    forms, strange = entries.row(footwork)
    assert () == strange
    return place(forms, book.movement, book.tradition)


def under(figure: Figure, reading: str) -> tuple[Version, dict[str, str]]:
    """Return the version of a figure and the senses of its movements that a reading picks."""
    word, colon, label = reading.partition(": ")
    if colon:
        return figure.versions[figure.usual], {word: label}
    labels = tuple(version.label for version in figure.versions)
    index = books.reading(labels, reading)
    assert index is not None
    return figure.versions[index], {}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} {row[1]} {row[2]}".strip())
def test_published_footwork_gives_the_published_beats_and_foot(row: list[str]) -> None:
    """Placed with its source's counts, a published row lasts as long, and leaves the foot, that its source has."""
    book = books.load(row[0])
    actions, problems = placed(book, row[3])
    word, colon, label = row[2].partition(": ")

    assert () == problems
    assert str(last_beat(actions)) in row[5].split(), row[8]
    assert row[6] == end(actions, book.lead, {word: label} if colon else {}), row[8]


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} {row[1]} {row[2]}".strip())
def test_the_book_has_the_figure_as_published(row: list[str]) -> None:
    """The book's figure, under the reading that this source has, has its beats, foot and turn, and names the source."""
    (figure,) = books.load(row[0]).find(row[1])
    version, senses = under(figure, row[2])

    assert str(version.length // 12) in row[5].split(), row[8]
    assert row[6] == end(version.actions, figure.lead, senses), row[8]
    assert int(row[7]) == version.turn, row[8]
    assert version.memory or "published" in row[9], row[8]


def domain(source: str) -> str:
    """Return the name of the site in a source."""
    return next(iter(re.findall(r"[\w-]+\.(?:\w+\.)*[a-z]{2,4}(?=/|$|,| )", source)), source)


@pytest.mark.parametrize("row", [row for row in ROWS if "published" in row[9]], ids=lambda row: f"{row[1]} {row[2]}")
def test_the_book_cites_the_source(row: list[str]) -> None:
    """Every published row is among the sources of the version that has it."""
    (figure,) = books.load(row[0]).find(row[1])
    version, _ = under(figure, row[2])

    assert domain(row[8]) in [domain(source) for source in version.sources]


def test_placing_in_order_without_counts_is_right_for_most_rows() -> None:
    """Without `@`, 120 of the 171 rows come out at the first length that their source states, 125 at any of them."""
    first = longest = 0
    for row in ROWS:
        actions, _ = placed(books.load(row[0]), re.sub(r"@\S+", "", row[3]))
        lengths = row[5].split()
        first += str(last_beat(actions)) == lengths[0]
        longest += str(last_beat(actions)) in lengths

    assert (171, 120, 125) == (len(ROWS), first, longest)


@pytest.mark.parametrize("name", books.SHIPPED)
def test_no_figure_of_a_book_is_impossible(name: str) -> None:
    """Every version of every figure can be danced from its lead, under the usual readings of its movements."""
    ends = {(f.name, v.label): end(v.actions, f.lead, {}) for f in books.load(name).figures() for v in f.versions}

    assert {"same", "other", "both"} >= set(ends.values())


# -- impossible ones found in print ----------------------------------------------------------------------------------


def test_a_ball_on_the_foot_that_has_the_weight_is_impossible() -> None:
    """Dancer's dictionary K (thedancestoreonline.com) puts the ball of a kick ball change on the foot opposite to the
    kick.  That foot carries all the weight, so it can't step at 1&."""
    book = books.load("line")
    actions, problems = placed(book, "K(R)@1 BA(L)@1& S(R)@2")

    assert () == problems
    assert "ball at 18: the foot already has the weight" == end(actions, book.lead, {})


def test_a_kick_ball_change_counted_1_and_3_lasts_three_counts() -> None:
    """The Rays Line Dance Club glossary prints the labels 1, & and 3: that fills 3 counts, not the 2 of the others."""
    actions, problems = placed(books.load("line"), "K@1 BA@1& S@3")

    assert () == problems
    assert 3 == last_beat(actions)
    assert 24 == books.load("line").find("kick ball change")[0].versions[0].length


# -- statements without a row of footwork ----------------------------------------------------------------------------


def danced(book: str, names: list[str]) -> Iterator[tuple[int, str]]:
    """Yield the beats and the next lead of figures danced one after the other."""
    for name in names:
        (figure,) = books.load(book).find(name)
        version = figure.versions[figure.usual]
        yield version.length // 12, end(version.actions, figure.lead, {})


def test_the_class_core_fills_32_beats_and_comes_home() -> None:
    """Four push-offs and eight basics are a phrase of 32 beats in which the lead alternates (K. McChesney, instructor
    resources, kellimcchesney.com/clogging/instructorres.html)."""
    steps = list(danced("clogging", ["Push-off"] * 4 + ["Basic"] * 8))

    assert 32 == sum(beats for beats, _ in steps)
    assert ["other"] * 12 == [foot for _, foot in steps]


@pytest.mark.parametrize(
    ("book", "name", "beats", "foot", "source"),
    [
        ("clogging", "Fancy Double", 4, "same", "sheilajospencer.com/blog: a fancier one keeps the foot"),
        ("clogging", "Rocking Chair Around", 4, "same", "clogging101.com/Cue-Sheets: a rocking chair danced round"),
        ("clogging", "Airplane", 4, "other", "bullruncloggers.org: airplane is chain"),
        ("clogging", "Rockaround", 4, "other", "kerriclogs.com: a turning push-off"),
        ("clogging", "Samantha", 8, "same", "kellimcchesney.com/clogging: 8 beats; the foot from memory"),
        ("clogging", "Shuffles", 4, "same", "sheilajospencer.com/blog: drag-slide four times; the foot derived"),
        ("clogging", "Boogie Basic", 2, "other", "clogging101.com/Cue-Sheets: DS, a rock behind, step"),
        ("line", "Grapevine", 4, "other", "spiritus-temporis.com/line-dance/terms.html: four counts"),
        ("line", "Applejack", 2, "both", "lulealinedancers.se: 2 counts, the weight split between the feet"),
        ("line", "Fan", 2, "same", "sound-a-motion.tripod.com: a toe out and back in 2; the foot derived"),
        ("line", "Sailor Step", 2, "other", "ncld.nl/s: shuffle-like, begins crossed behind; the foot derived"),
        ("line", "Monterey Turn", 4, "same", "outlawdance.com: point, turn, step; the foot derived"),
        ("line", "Forward Coaster", 2, "other", "linedanceforever.com: step forward, together, back"),
        ("line", "Cha Basic", 8, "same", "sound-a-motion.tripod.com: rock, recover, cha in place, and back"),
        ("line", "Heel Switches", 2, "same", "linedancestompers.de: heel, together, heel, together; the foot derived"),
        ("line", "Ball Change", 1, "same", "palmcoastlinedance.weebly.com: &1, ball of one foot, then the other"),
    ],
)
def test_a_statement_without_footwork_holds(book: str, name: str, beats: int, foot: str, source: str) -> None:
    """Beats and next foot of figures that sources describe in words come out as stated."""
    assert [(beats, foot)] == list(danced(book, [name])), source


def test_legs_that_slide_past_each_other_end_on_both_feet() -> None:
    """NCLD dance terms (ncld.nl/s): a scissor with the weight on both feet is another movement under the same name."""
    (figure,) = books.load("line").find("Scissors")
    version, _ = under(figure, "legs slide past each other")

    assert "both" == end(version.actions, figure.lead, {})


@pytest.mark.parametrize(
    ("name", "level"),
    [
        ("Clog-over Vine", "basic plus"),
        ("Rocking Chair", "basic plus"),
        ("Charleston", "basic plus"),
        ("Samantha", "easy intermediate"),
        ("Buck Basic", "intermediate plus"),
    ],
)
def test_levels_stand_with_the_scheme_of_their_source(name: str, level: str) -> None:
    """The levelling guide of US conventions (clogdancing.com/leveling-a-routine) grades these figures."""
    (figure,) = books.load("clogging").find(name)

    assert level in [found.name for found in figure.levels if found.scheme == "convention"]


@pytest.mark.parametrize("name", ["Charleston", "Samantha"])
def test_some_figures_are_begun_on_the_left_only(name: str) -> None:
    """Steps that feel wrong on the right foot: sheilajospencer.com/blog/2016/11/7."""
    assert books.load("clogging").find(name)[0].one_lead


@pytest.mark.parametrize(
    "name",
    [
        "Turkey",
        "Donkey",
        "Cow Tail",
        "Walk the Dog",
        "Possum Trot",
        "Camel Walk",
        "High Horse",
        "Mountain Goat",
        "Popcorn",
        "Ida Red",
        "Canadian Gallop",
    ],
)
def test_a_name_without_published_footwork_is_known_and_not_guessed(name: str) -> None:
    """Names on the lists of clogdancing.com and sheilajospencer.com that come without a breakdown have no figure."""
    book = books.load("clogging")

    assert book.known(name)
    assert () == book.find(name)


def test_every_name_without_footwork_says_who_names_it() -> None:
    """Each has a source, or is marked as from memory; those of the levelling guide name clogdancing.com."""
    for book in map(books.load, books.SHIPPED):
        assert book.shelf is not None
        names = [name for listing in book.shelf.text.known for name in listing.names]
        assert [] == [name for name in names if not book.named_by(name) or not book.known(name)]
    assert ("clogdancing.com",) == tuple(domain(source) for source in books.load("clogging").named_by("High Horse"))


@pytest.mark.parametrize(
    ("book", "names"),
    [
        ("clogging", "Jazz Box, Clap, Cowboy Turn, Double Stamp, Charleston Brush, Scuff, Kick, Heel, Pivot"),
        (
            "line",
            "Sailor Turn, Sailor Quarter, Side Rock, Rock Back, Rock Forward, Side, Behind, Back, Walk Forward, Hip Bumps, "
            "Monterey Half, Heel Jack, Sway, Skate, Swivels, Toe Switches, Drag, Step-Lock-Step, Nightclub Basic, "
            "Cross Samba, Side Mambo, Jazz Box Cross, Figure Eight",
        ),
        (
            "line",
            "Step, Side, Together, Touch, Behind, Cross, Back, Forward, Rock, Recover, Kick, Point, Hitch, Brush, Scuff, "
            "Stomp, Hold, Flick, Hook, Heel, Toe, Drag, Tap, Dig, Close, Stamp, Swing, Clap, Hop, Jump, Swivel, Fan",
        ),
    ],
)
def test_a_figure_is_found_under_the_name_that_a_teacher_types(book: str, names: str) -> None:
    """Names from sheets as teachers wrote them (common practice): each stands for one figure that can be danced."""
    found = {name: books.load(book).find(name) for name in names.split(", ")}

    assert [] == [name for name, figures in found.items() if len(figures) != 1]
    assert {"same", "other", "both"} >= {
        end(figures[0].versions[figures[0].usual].actions, figures[0].lead, {}) for figures in found.values()
    }


@pytest.mark.parametrize(
    ("book", "names"),
    [
        ("clogging", "Mountain Basic, Heel Pull, Slur Brush, Brush-over Vine"),
        ("line", "Unwind, Cross Unwind, Spiral, Syncopated Vine"),
    ],
)
def test_what_no_source_gives_the_foot_of_stays_a_name(book: str, names: str) -> None:
    """No glossary that was reached says which foot is free after these (dustyboots.dk crosses and unwinds, and stops
    there), so none is guessed."""
    assert [] == [name for name in names.split(", ") if not books.load(book).known(name)]


def test_every_step_of_line_dance_is_a_figure_of_one_count() -> None:
    """Whatever single movement the tradition has a word for can be written as a line, so that a description in single
    steps has words; a pivot takes no count, half a strut and half a ball change are no steps of their own."""
    book = books.load("line")
    names = [movement.name for movement in book.movements()]
    alone = {
        version.actions[0].movement.name
        for figure in book.figures()
        for version in figure.versions
        if len(version.actions) == 1 and 12 == version.length
    }

    own = set(names[: names.index("double toe")])  # from there on they are lent by clogging
    parts = {
        "pivot",
        "ball",
        "weighted toe",
        "weighted heel",
        "heel touch",
        "tap",
        "fan",
        "chug",
        "both-feet chug",
        "drag",
        "slide",
    }
    assert parts == own - alone


@pytest.mark.parametrize(
    ("book", "name", "other"),
    [
        ("clogging", "Clog", "Basic"),
        ("clogging", "Chain", "Push-off"),
        ("clogging", "Rockaround", "Turning Push-off"),
        ("clogging", "Pivot Turn", "Basketball Turn"),
        ("clogging", "Three Stomps", "Rocking Step"),
        ("clogging", "Double Down", "Double Step"),
        ("line", "Jazz Square", "Jazz Box"),
        ("line", "Grapevine", "Vine"),
        ("line", "Side Shuffle", "Chasse"),
        ("line", "Wizard Step", "Dorothy Step"),
        ("line", "Together", "Close"),
        ("line", "Rock Forward", "Rock Step"),
        ("line", "Side Rock", "Rock Step"),
        ("line", "Rock Back", "Back Rock"),
        ("line", "Mambo Back", "Side Mambo"),
    ],
)
def test_synonyms_are_one_figure(book: str, name: str, other: str) -> None:
    """Names that sources give as the same (kerriclogs.com, bullruncloggers.org, kellimcchesney.com, R. Davis p. 7,
    wikihow.com; dancing757.com, linedanceforever.com, sound-a-motion.tripod.com; rock steps forward, side and back at
    xn--vrl-elevomrde-zfb.se/terminologi, mambos in all directions at lizzaninline.com; the wizard from memory)."""
    found = books.load(book)

    assert found.find(name) == found.find(other) != ()
    assert key(name) != key(other)
