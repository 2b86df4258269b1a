"""From a sheet to a program: which steps are danced when, and which claims are made of them where."""

import pytest

from stepcheck.model.choices import ENGINES
from stepcheck.model.claims import Check, Kind, Test
from stepcheck.model.dance import Body, Choice, Forever, Gap, Item, Lap, Last, Pass, Repeat, Rest, Step, Timed, Together
from stepcheck.model.findings import Severity
from stepcheck.model.items import every
from stepcheck.model.outcome import Verdict
from stepcheck.program.claims import register
from stepcheck.program.dance import Dance
from stepcheck.program.header import read
from stepcheck.program.names import Names
from stepcheck.program.routine import Routine
from stepcheck.report import pipeline


def routine(text: str, header: str = "book: clogging") -> Routine:
    """Return the routine of a sheet without its header."""
    return pipeline.loads(f"{header}\n\n{text}")


def danced(text: str, header: str = "book: clogging") -> str:
    """Return the steps of a dance in order, each figure's first letter with its written turn in eighths.

    A choice is put in round brackets, a body danced for ever in square ones, an end before what follows after a stroke.
    """
    made = routine(text, header)
    assert made.program is not None, [found.message for found in made.diagnostics]
    return " ".join(_danced(made.program.dance))


def _danced(body: Body) -> list[str]:
    out: list[str] = []
    for item in body:
        match item:
            case Step():
                turn = "" if item.turn is None else f"{item.turn:+d}"
                out.append(item.figure.name[0] + turn)
            case Rest():
                out.append(f"-{item.ticks // 12}")
            case Repeat():
                out += _danced(item.body) * (item.times or 1)
            case Choice():
                out.append("(" + " | ".join(" ".join(_danced(option)) for option in item.options) + ")")
            case Forever():
                out.append("[" + " ".join(_danced(item.body)) + "]")
            case Last():
                out.append("<" + " ".join(_danced(item.body)) + ">")
            case Timed() | Pass() | Lap():
                out += _danced(item.body)
    return out


def verdicts(text: str, header: str = "book: clogging") -> dict[str, str]:
    """Return the verdict on each claim of a sheet without its header, by the claim's id."""
    report = pipeline.check_text(f"{header}\n\n{text}", engine="walk")
    assert report.claims, [found.message for found in report.diagnostics]
    return {claim.id: claim.verdict.word for claim in report.claims}


def codes(text: str, header: str = "book: clogging") -> list[tuple[str, int]]:
    """Return the name and line of each error of a sheet; its header is line 1, and a blank line follows it."""
    found = routine(text, header).diagnostics
    return [(one.code.name, one.span.line) for one in found if one.code.severity is Severity.ERROR]


def checks(body: Body, test: Test) -> list[int | None]:
    """Return the values of all checks of one kind, in order, a body that is shared each time that it stands there."""
    out: list[int | None] = []
    for item in body:
        match item:
            case Check() if item.test is test:
                out.append(item.value)
            case Together():
                out += checks(item.checks, test)
            case Choice():
                out += [value for option in item.options for value in checks(option, test)]
            case Repeat() | Forever() | Last() | Timed() | Pass() | Lap():
                out += checks(item.body, test)
    return out


# -- times -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("block", "steps"),
    [
        ("4 times:\n    Vine, turn 1/4 left on 2nd, 4th", "V V-2 V V-2"),
        ("Vine x4, turn 1/4 left on 2nd, 4th", "V V-2 V V-2"),
        ("Vine x5, turn 1/8 right on every 2nd", "V V+1 V V+1 V"),
        ("Vine x3, turn 1/2 left on last", "V V V-4"),
        ("Vine x2, turn 1/2 left", "V-4 V-4"),
        ("Vine x4, turn 1/4 left on 2nd, turn 1/2 right on last", "V V-2 V V+4"),
        ("2 times:\n    Triple x2, turn 1/4 left on last", "T T-2 T T-2"),
        ("2 times:\n    3 times:\n      Vine\n      2nd time only:\n        Stomp", "V V S V V V S V"),
        ("3 times:\n    2 times:\n      Vine\n    last time only:\n      Stomp", "V V V V V V S"),
        ("3 times:\n    Vine\n    except last time:\n      Stomp", "V S V S V"),
        ("4 times:\n    Vine\n    except 2nd, 4th time:\n      Stomp", "V S V V S V"),
        ("6 times:\n    Vine\n    every 3rd time only:\n      Stomp", "V V V S V V V S"),
        ("3 times:\n    1st, 3rd time only:\n      Vine\n    2nd time only:\n      Stomp", "V S V"),
    ],
)
def test_times_count_the_nearest_repeat(block: str, steps: str) -> None:
    """Named times count the line's own repeat if it has one, else the block's, and an inner block counts anew."""
    assert steps == danced(f"part A:\n  {block}\n\ndance:\n  A\n")


def test_on_the_other_times_the_figure_s_own_turn_stays() -> None:
    """A turn written for some times leaves the figure's own on the others; `no turn` takes it away."""
    text = "part A:\n  Turning Push-off x3, {}\n\ndance:\n  A\n"

    assert "T T+0 T" == danced(text.format("no turn on 2nd"))
    assert "T T T+2" == danced(text.format("turn 1/4 right on last"))


def test_times_of_a_part_count_its_occurrences_cut_ones_and_x2_included() -> None:
    """Outside any block an `Nth time` counts the times that the dance comes to the part."""
    part = "part A:\n  Vine\n  Vine\n  3rd time only:\n    Stomp\n\n"

    assert "V V V V V V S V V" == danced(f"{part}dance:\n  A x4\n")
    assert "V V V V V S" == danced(f"{part}dance:\n  A\n  A, first 4 beats\n  A\n")
    assert "V V V V V V S V V" == danced(f"{part}dance:\n  2 times:\n    A\n    A\n")


def test_the_last_time_of_a_part_is_the_last_of_the_dance() -> None:
    """`last time only` in a part speaks of its last occurrence, even if parts in between call it."""
    part = "part A:\n  Vine\n  last time only:\n    Stomp\n\npart B:\n  A\n  Triple\n\n"

    assert "V V T V S" == danced(f"{part}dance:\n  A\n  B\n  A\n")


def test_a_long_repeat_is_laid_out_only_as_far_as_its_times_differ() -> None:
    """A million times cost no more steps than the named ones and the repeats between them."""
    made = routine("part A:\n  Vine x1000000, turn 1/4 left on 3rd\n\ndance:\n  A\n")

    assert made.program is not None
    [passed] = made.program.dance
    assert isinstance(passed, Pass)
    assert [2, 1, 999_997] == [item.times if isinstance(item, Repeat) else 1 for item in passed.body]


@pytest.mark.parametrize(
    ("text", "line"),
    [("part A:\n  Vine\n\ndance:\n  Vine, turn 1/4 left on 2nd\n", 7), ("dance:\n  2nd time only:\n    Vine\n", 4)],
)
def test_times_outside_any_repeat_are_ill_formed(text: str, line: int) -> None:
    """In the dance, outside a block, nothing is counted."""
    assert [("time-outside-repeat", line)] == codes(text)


def test_a_time_beyond_the_number_of_times_is_vacuous() -> None:
    """An `Nth time`, an `on Nth` and a contract's `Nth time` that never come are said to be so."""
    text = (
        "part A: 3rd time 8 beats\n  4 times:\n    Vine, turn 1/4 left on 5th\n"
        "    6th time only:\n      Stomp\n\ndance:\n  A\n"
    )

    assert ["vacuous"] * 3 == list(verdicts(text).values())


# -- contracts of parts ----------------------------------------------------------------------------------------------


def test_a_contract_s_time_replaces_the_piece_of_its_kind() -> None:
    """`2nd time 40 beats` holds instead of the plain length that time, and the other pieces hold every time."""
    text = (
        "part A: 4 beats, 2nd time 8 beats, no turn, 2nd time 1/4 turn left, left foot to right foot, "
        "2nd time right foot to right foot\n  Vine\n  2nd time only:\n    Vine, turn 1/4 left\n\ndance:\n  A x2\n"
    )

    assert {"proved"} == set(verdicts(text).values())
    assert 7 == len(verdicts(text)) - 1


def test_a_contract_with_a_bare_foot_may_have_timed_pieces_beside_it() -> None:
    """A foot alone, which can't be for one time, stands beside pieces that are."""
    part = "part A: 8 beats, 2nd time 12 beats, left foot\n  Vine x2\n  2nd time only:\n    Rocking Chair\n\n"
    text = f"{part}dance:\n  A x2\n"

    assert {"proved"} == set(verdicts(text).values())


@pytest.mark.parametrize(
    ("piece", "verdict"),
    [
        ("8 beats", "proved"),
        ("1/2 turn left", "proved"),
        ("1/2 turn", "proved"),
        ("1/2 turn right", "refuted"),
        ("no turn", "refuted"),
        ("1 1/2 turns left", "refuted"),
        ("front to back", "proved"),
        ("9:00 to 3:00", "proved"),
        ("front to left wall", "refuted"),
        ("left foot", "proved"),
        ("right foot", "refuted"),
    ],
)
def test_a_contract_is_a_claim_about_its_lines(piece: str, verdict: str) -> None:
    """Length, signed turn, net facing from any wall and the first foot are each compared with what the lines do."""
    text = f"part A: {piece}\n  Vine, turn 1/4 left\n  Vine, turn 1/4 left\n\ndance:\n  A\n"

    assert [verdict] == list(verdicts(text).values())


def test_a_full_turn_is_not_no_turn() -> None:
    """Turns are totals, not remainders: four quarters are a full turn, and end where they began."""
    text = "part A: {}\n  Vine x4, turn 1/4 left\n\ndance:\n  A\n"

    assert ["proved"] == list(verdicts(text.format("full turn left")).values())
    assert ["refuted"] == list(verdicts(text.format("no turn")).values())
    assert ["refuted"] == list(verdicts(text.format("full turn right")).values())
    assert ["proved"] == list(verdicts(text.format("front to front")).values())


def test_a_turn_without_a_side_may_go_either_way_each_dancer_by_herself() -> None:
    """`1/2 turn` may go one way for some dancers and the other for others; both land on one wall."""
    text = "part A: 1/2 turn\n  Vine, turn 1/2 left | Vine, turn {} right\n\ndance:\n  A\n"

    assert "proved" == verdicts(text.format("1/2"))["a: 1/2 turn"]
    assert "refuted" == verdicts(text.format("1/4"))["a: 1/2 turn"]


def test_the_foot_of_a_contract_orders_at_every_occurrence() -> None:
    """The dance must come to a part with its foot free, and the finding stands where it comes with the other."""
    text = "part A: 4 beats, left foot\n  Vine\n\ndance:\n  A\n  A\n"
    report = pipeline.check_text(f"book: clogging\n\n{text}", engine="walk")
    [found] = [one for one in report.diagnostics if one.code.severity is Severity.ERROR]

    assert ("foot-not-free", 8) == (found.code.name, found.span.line)


def test_a_foot_of_a_part_may_follow_both_feet() -> None:
    """From both feet a part that begins with a named foot first puts the weight on the other."""
    figures = "figures:\n  Two Feet: DS JUMP\n\n"
    text = f"{figures}part A: left foot to right foot\n  Vine\n\ndance:\n  Two Feet\n  expect both feet\n  A\n"

    assert {"proved"} == set(verdicts(text).values())


def test_inside_a_part_the_front_is_where_the_pass_began() -> None:
    """Facings in a part count from the wall on which the pass began, those in the dance from the room's front."""
    text = (
        "part A:\n  Vine, turn 1/4 left\n  expect facing 9:00\n\n"
        "dance:\n  A\n  expect facing 9:00\n  A\n  expect facing 6:00\n"
    )

    assert {"proved"} == set(verdicts(text).values())


def test_a_part_never_danced_is_checked_from_its_own_feet() -> None:
    """Lines of such a part are checked from its contract's foot, without one from either, and a note says so."""
    text = "part A: left foot\n  Vine, left foot\n\npart B:\n  Vine, left foot\n\ndance:\n  Vine\n"

    assert {"a: left foot": "proved", "a: left foot #2": "proved", "b: left foot": "proved"} == verdicts(text)
    assert 2 == sum(found.code.name == "part-never-danced" for found in routine(text).diagnostics)


def test_a_claim_that_fails_in_a_part_never_danced_is_refuted() -> None:
    """What is not danced is checked all the same."""
    text = "part A: 8 beats, left foot to left foot\n  Vine\n\ndance:\n  Vine\n"

    assert ["refuted", "proved", "refuted"] == list(verdicts(text).values())


# -- headings of counts ----------------------------------------------------------------------------------------------


def test_headings_of_counts_run_on_or_begin_again() -> None:
    """`counts 9-16` goes on from 8; each section may also begin with 1 again."""
    on = "part A:\n  counts 1-8:\n    Vine x2\n  counts 9-16:\n    Vine x2\n\ndance:\n  A\n"
    anew = on.replace("9-16", "1-8")

    assert ["proved"] * 2 == list(verdicts(on).values()) == list(verdicts(anew).values())
    assert [0, 96, 96, 192] == checks(routine(on).program.dance, Test.CLOCK)  # type: ignore[union-attr]


def test_headings_inside_a_repeat_count_its_own_time() -> None:
    """The counts of a heading in a block are those of each time through it."""
    text = "part A:\n  2 times:\n    counts 1-4:\n      Vine\n    counts 5-8:\n      Vine\n\ndance:\n  A\n"

    assert {"proved"} == set(verdicts(text).values())


def test_a_heading_that_holds_too_few_counts_is_refuted() -> None:
    """The claim of a heading is about what stands under it, and a later heading isn't blamed for it."""
    text = "part A:\n  counts 1-8:\n    Vine\n  counts 9-16:\n    Vine x2\n\ndance:\n  A\n"

    assert ["refuted", "proved"] == list(verdicts(text).values())


@pytest.mark.parametrize(
    ("rows", "dance", "said"),
    [
        ("counts 1-8:\n    Vine x3", "dance:\n  A, first 4 counts", "vacuous"),
        ("counts 1-8:\n    Vine x3", "dance:\n  A, first 8 counts", "vacuous"),
        ("counts 1-8:\n    Vine x2", "dance:\n  A, first 8 counts", "proved"),
        ("counts 1-8:\n    Vine x2", "dance:\n  A, first 4 counts\n  A", "proved"),
        ("Vine x4\n  counts 17-20:\n    Vine x9", "dance:\n  A, first 20 counts", "vacuous"),
        ("Vine x2\n  counts 9-24:\n    Vine x5", "music:\n  verse 20\ndance:\n  A until the music ends", "vacuous"),
        ("Vine x2\n  counts 9-12:\n    ? 8 counts", "dance:\n  A, first 12 counts", "vacuous"),
        ("counts 5-8:\n    Vine x3", "dance:\n  A, first 4 counts", "refuted"),
    ],
)
def test_the_counts_of_a_heading_hold_only_where_its_end_is_danced(rows: str, dance: str, said: str) -> None:
    """Nobody can say how long a heading is whose end lies behind a cut, or behind the music: it is never reached.  That
    it begins too early is wrong all the same."""
    text = f"book: line\n\npart A:\n  {rows}\n{dance}\n"

    for engine in ENGINES:
        report = pipeline.check_text(text, engine=engine)
        assert said == next(one.verdict.word for one in report.claims if one.kind == Kind.COUNTS.value)


# -- the music -------------------------------------------------------------------------------------------------------

MUSIC = "music:\n  verse 8\n  chorus 4\n  verse 8\n\npart A: 8 beats\n  Vine x2\n\npart B: 4 beats\n  Vine\n\n"


def sections(dance: str) -> list[str]:
    """Return the verdicts on the three sections of the music."""
    found = verdicts(f"{MUSIC}dance:\n{dance}")
    return [verdict for name, verdict in found.items() if name.startswith("music")]


def test_the_sections_of_the_music_are_filled_in_their_order() -> None:
    """A section is named before a line or over several; a line without one belongs to the one above."""
    assert ["proved"] * 3 == sections("  verse: A\n  chorus: B\n  verse: A\n")
    assert ["proved"] * 3 == sections("  verse:\n    B\n    B\n  chorus: B\n  verse: B\n  B\n")


def test_sections_may_stand_in_a_block() -> None:
    """A block around sections dances them in turn."""
    music = MUSIC.replace("  verse 8\n\n", "  verse 8\n  chorus 4\n\n", 1)
    found = verdicts(f"{music}dance:\n  2 times:\n    verse: A\n    chorus: B\n")

    assert {"proved"} == set(found.values())


@pytest.mark.parametrize(
    ("dance", "said"),
    [
        ("  verse: A\n  chorus: B\n", ["proved", "proved", "refuted"]),
        ("  verse: A\n  verse: A\n", ["proved", "refuted", "proved"]),
        ("  verse: B\n  chorus: B\n  verse: A\n", ["refuted", "proved", "proved"]),
        ("  verse: A\n  B\n  chorus: B\n  verse: A\n", ["refuted", "proved", "proved"]),
    ],
)
def test_a_section_left_over_under_full_or_over_full_is_refuted(dance: str, said: list[str]) -> None:
    """Each section of the music is danced for exactly its beats."""
    assert said == sections(dance)


def test_a_section_that_the_music_does_not_have_is_ill_formed() -> None:
    """A name that is no section, and one that comes out of order, are found at their line."""
    assert [("unknown-section", 15)] == codes(f"{MUSIC}dance:\n  bridge: A\n  chorus: B\n  verse: A\n")
    assert [("unknown-section", 17)] == codes(f"{MUSIC}dance:\n  verse: A\n  verse: A\n  chorus: B\n")


def test_without_sections_in_the_dance_the_music_is_filled_as_a_whole() -> None:
    """A dance that names no section has to last as long as all of them; where it doesn't, that is found once."""
    assert ["proved"] * 3 == sections("  A\n  B\n  A\n")
    assert ["refuted", "proved", "proved"] == sections("  A\n  A\n")


def test_with_music_the_beats_fix_the_number_of_passes_and_the_last_may_be_cut() -> None:
    """`until the music ends` fills what is left of the music, the last pass up to its last beat."""
    text = "music:\n  song 20\n\npart A: 8 beats, no turn\n  Vine x2\n\ndance:\n  A until the music ends\n"

    assert "V V V V V" == danced(text)
    assert {"proved"} == set(verdicts(text).values())


def test_the_length_of_the_dance_is_a_claim() -> None:
    """`dance: 8 beats` is compared with the whole."""
    assert ["proved"] == list(verdicts("dance: 8 beats\n  Vine x2\n").values())
    assert ["refuted"] == list(verdicts("dance: 9 beats\n  Vine x2\n").values())


# -- until the music ends --------------------------------------------------------------------------------------------


def test_without_music_any_number_of_passes_is_meant() -> None:
    """Passes that named times tell apart are laid out one by one, then all the others stand for any number."""
    text = "part A:\n  Vine\n  2nd time only:\n    Stomp\n\ndance:\n  A until the music ends\n"

    assert "V V S [V]" == danced(text)
    assert "[V]" == danced("part A:\n  Vine\n\ndance:\n  A until the music ends\n")


def test_any_pass_may_be_the_last() -> None:
    """Where the last time differs, the dance may end with it after any number of others."""
    text = "part A:\n  Vine\n  last time only:\n    Stomp\n\ndance:\n  A until the music ends\n"

    assert "[<V S> V]" == danced(text)
    assert "V [<V S> V]" == danced(text.replace("  A until", "  A\n  A until"))


def test_nothing_follows_until_the_music_ends() -> None:
    """A line after it is ill-formed, where it stands."""
    assert [("nothing-may-follow", 8)] == codes("part A:\n  Vine\n\ndance:\n  A until the music ends\n  Stomp\n")


def test_a_claim_that_fails_in_a_later_pass_is_found() -> None:
    """Every pass is looked at: one that swaps the foot breaks the second."""
    assert ["refuted"] == list(verdicts("part A: left foot\n  Vine\n\ndance:\n  A until the music ends\n").values())


# -- walls -----------------------------------------------------------------------------------------------------------


def walls(number: int, text: str) -> str:
    """Return the verdict on the number of walls."""
    return verdicts(text, f"book: clogging\nwalls: {number}")[f"dance: walls: {number}"]


@pytest.mark.parametrize(
    ("turn", "number"),
    [("no turn", 1), ("turn 1/2 left", 2), ("turn 1/4 right", 4), ("turn 3/4 right", 4), ("turn 1/8 left", 8)],
)
def test_walls_are_how_many_passes_come_home(turn: str, number: int) -> None:
    """The number of walls is the order of a pass's net turn, no more and no fewer."""
    text = f"part A:\n  Vine\n  Vine, {turn}\n\ndance:\n  A until the music ends\n"

    for claimed in (1, 2, 3, 4, 8):
        assert ("proved" if claimed == number else "refuted") == walls(claimed, text)


def test_tags_and_restarts_do_not_enter_the_walls() -> None:
    """Only whole passes of what goes on until the music ends are compared."""
    text = (
        "part A: 8 beats\n  Vine, turn 1/4 left\n  Vine\n\n"
        "dance:\n  A, first 4 beats\n  Vine, turn 1/8 left\n  A until the music ends\n"
    )

    assert "proved" == walls(4, text)


def test_the_passes_of_a_whole_round_come_home() -> None:
    """What comes every so many times, in the pass or in a part that it dances, is in the passes that are compared."""
    half = "part Half:\n  Vine, turn 1/4 right\n  Vine\n  every 2nd time only:\n    Vine, turn 1/2 right\n    Vine\n\n"
    twice = half + "part A:\n  Half x2\n\ndance:\n  {}A until the music ends\n"

    assert ["proved", "refuted"] == [walls(number, twice.format("")) for number in (1, 2)]
    assert "proved" == walls(1, twice.format("Half\n  "))  # whichever of its times a pass begins with
    once = half + "dance:\n  Half until the music ends\n"
    block = half + "dance:\n  until the music ends:\n    Half\n"
    assert ["refuted"] * 4 == [walls(number, text) for number in (2, 4) for text in (once, block)]
    still = half.replace("1/2 right", "full right") + "dance:\n  Half until the music ends\n"
    assert "proved" == walls(4, still)
    named = half.replace("every 2nd", "2nd") + "dance:\n  Half until the music ends\n"
    assert "proved" == walls(4, named)  # as a tag is
    short = (
        "part A:\n  Vine, turn 1/4 left\n  every {} time only:\n    Vine, turn 1/4 left\n\ndance:\n  A x4\n  Stomp\n"
    )
    assert ["refuted"] * 2 == [walls(4, short.format(nth)) for nth in ("4th", "6th")]  # the 6th is of the round as well


def test_the_passes_of_a_round_follow_each_other() -> None:
    """Of parts that differ every 2nd time, those times are put together that are danced in one pass."""
    text = (
        "part Half:\n  Vine, turn 1/4 right\n  every 2nd time only:\n    Vine, turn 1/4 right\n\n"
        "part Rest:\n  Vine, turn 1/4 right\n  every 2nd time only:\n    Vine, turn 1/4 left\n\n"
        "part A:\n  Half\n  Rest\n\ndance:\n{}  A until the music ends\n"
    )

    assert "proved" == walls(2, text.format(""))
    assert "refuted" == walls(2, text.format("  Half\n"))


def test_walls_are_of_the_pass_as_it_is_danced_until_the_music_ends() -> None:
    """A pass that goes on with the opposite foot, or mirrored, is the pass that the walls are about."""
    text = (
        "figures:\n  Gate, 2 counts, turn 1/4 left: S S\n  Plain, 2 counts: S S\n\n"
        "part A:\n  Gate, left foot\n  Plain, turn 1/4 left\n\ndance:\n  A until the music ends\n"
    )
    other = text.replace("A until", "Stomp\n  A, opposite foot until")

    assert ["proved", "refuted"] == [walls(number, text) for number in (2, 1)]
    assert ["proved", "refuted"] == [walls(number, other) for number in (1, 2)]


def test_a_last_pass_that_the_music_cuts_does_not_enter_the_walls() -> None:
    """Where the music stops in the middle of a pass, that pass is not a whole one."""
    text = "music:\n  song 28\n\npart A: 8 beats\n  Vine\n  Vine, turn 1/4 left\n\ndance:\n  A until the music ends\n"
    block = text.replace("  A until the music ends\n", "  until the music ends:\n    A\n")

    assert "proved" == walls(4, text) == walls(4, block)


def test_a_block_may_be_the_pass() -> None:
    """The walls are those of the block that goes on until the music ends, not of the parts in it."""
    text = "part A:\n  Vine, turn 1/4 left\n\ndance:\n  until the music ends:\n    A\n    A\n"

    assert "proved" == walls(2, text)


def test_walls_are_of_the_only_part_that_comes_as_often_as_there_are_walls() -> None:
    """A dance with an ending goes round as well, though not until the music ends."""
    parts = "part A:\n  Vine\n  Vine, turn 1/4 left\n\npart B:\n  Vine\n\ndance:\n"
    for dance in (
        "  A x6\n  A, first 4 beats\n  B\n",
        "  2 times:\n    A x2\n    B\n",
        "  A x4\n  B, opposite foot x4\n",
    ):
        assert "proved" == walls(4, parts + dance)
    assert "refuted" == walls(2, parts + "  A x6\n  B\n")
    for dance in ("  A x3\n  B\n", "  A x4\n  B x4\n"):
        assert [("walls-of-what", 2)] == codes(parts + dance, "book: clogging\nwalls: 4")


def test_walls_without_a_pass_are_ill_formed() -> None:
    """With several parts, and none until the music ends, it isn't said what the walls are about."""
    text = "part A:\n  Vine\n\npart B:\n  Vine\n\ndance:\n  A\n  B\n"

    assert [("walls-of-what", 2)] == codes(text, "book: clogging\nwalls: 4")


# -- cuts ------------------------------------------------------------------------------------------------------------


def test_a_part_cut_short_keeps_only_the_start_of_its_contract() -> None:
    """Length, turn and last foot aren't asked of it; the first foot and what is claimed on the way are."""
    text = (
        "part A: 12 beats, 1/4 turn left, left foot to right foot\n  Vine, left foot\n  Vine, turn 1/4 left\n  Vine\n\n"
        "dance:\n  A, first 4 beats\n"
    )
    found = verdicts(text)

    assert ("proved", "proved") == (found["a: left foot"], found["a: left foot #2"])
    assert {"vacuous"} == {found[name] for name in ("a: 12 beats", "a: 1/4 turn left", "a: to right foot")}


def test_a_cut_inside_a_figure_takes_the_movements_up_to_that_count() -> None:
    """What belongs to later beats isn't danced, and the heading around the cut isn't asked to be full, nor called so."""
    text = (
        "part A: 8 beats\n  beats 1-8:\n    Vine, left foot\n    Vine, right foot\n\n"
        "dance:\n  A, first 7 beats\n  expect {}\n"
    )

    assert "proved" == verdicts(text.format("left foot"))["dance: left foot"]
    assert "vacuous" == verdicts(text.format("left foot"))["a: beats 1-8"]
    assert "refuted" == verdicts(text.format("right foot"))["dance: right foot"]


def test_a_claim_beyond_the_cut_is_not_reached_there() -> None:
    """The length of a heading that the cut shortens isn't checked at that pass, but at whole ones."""
    text = "part A:\n  beats 1-8, facing front:\n    Vine x2\n\ndance:\n  A, first 7 beats\n  Stomp\n  {}"

    assert {"proved"} == set(verdicts(text.format("A\n")).values())


@pytest.mark.parametrize(
    ("mark", "found"),
    [("turn 1/4 left", [("cut-splits-a-turn", 7)]), ("turn 1/4 left @3", []), ("turn 1/4 left @4", [])],
)
def test_a_cut_inside_a_figure_that_turns_needs_the_count_of_the_turn(mark: str, found: list[tuple[str, int]]) -> None:
    """Without a count it can't be said whether the turn is done."""
    assert found == codes(f"part A:\n  Vine, {mark}\n\ndance:\n  A, first 3 beats\n")


def test_a_turn_with_a_count_is_done_if_the_cut_comes_after_it() -> None:
    """The turn of a cut figure depends on its count."""
    text = "part A:\n  Vine, turn 1/4 left @{}\n\ndance:\n  A, first 3 beats\n"

    assert ("V-2", "V+0") == (danced(text.format(3)), danced(text.format(4)))


def test_a_cut_goes_through_repeats_and_parts() -> None:
    """The start of a part is found however it is folded."""
    text = "part B:\n  Vine x3\n\npart A:\n  2 times:\n    B\n    Stomp x2\n\ndance:\n  A, first {} beats\n"

    assert "V V V S S V" == danced(text.format(18))
    assert "V V V S" == danced(text.format(13))


def test_a_cut_beyond_the_end_is_ill_formed() -> None:
    """A part can't be danced for more counts than it has."""
    assert [("cut-beyond-the-end", 7)] == codes("part A:\n  Vine\n\ndance:\n  A, first 5 beats\n")


# -- opposite foot and mirrored --------------------------------------------------------------------------------------


def test_opposite_foot_swaps_every_named_foot() -> None:
    """The feet of lines, contract and `expect`s swap; a written turn stays, so turn and facings aren't checked."""
    text = (
        "part A: 1/4 turn left, left foot to right foot\n"
        "  Vine, left foot, turn 1/4 left\n  expect facing 9:00, right foot\n\n"
        "dance:\n  A\n  A, opposite foot\n"
    )
    program = routine(text).program
    assert program is not None

    assert [0, 0, 1, 1] == checks(program.dance, Test.LEAD)
    assert [1, 1, 0, 0] == checks(program.dance, Test.FOOT)
    assert [-2] == checks(program.dance, Test.TURN)
    assert [6] == checks(program.dance, Test.FACING)
    assert "V-2 V-2" == danced(text)
    assert {"proved"} == set(verdicts(text).values())


def test_mirrored_swaps_turns_and_facings_as_well_and_checks_all() -> None:
    """Everything that is written with a side is written with the other."""
    text = (
        "part A: 1/4 turn left, left foot to right foot\n"
        "  Vine, left foot, turn 1/4 left\n  expect facing 9:00, right foot\n\n"
        "dance:\n  A\n  A, mirrored\n"
    )
    program = routine(text).program
    assert program is not None

    assert [-2, 2] == checks(program.dance, Test.TURN)
    assert [6, 2] == checks(program.dance, Test.FACING)
    assert "V-2 V+2" == danced(text)
    assert {"proved"} == set(verdicts(text).values())


def test_a_swap_reaches_the_parts_inside_and_a_second_one_undoes_it() -> None:
    """A part called in a mirrored one is mirrored; mirrored again it is itself."""
    text = "part A:\n  Vine, turn 1/4 left\n\npart B:\n  A\n  A, mirrored\n\ndance:\n  B, mirrored\n"

    assert "V+2 V-2" == danced(text)


# -- variations, names and figures -----------------------------------------------------------------------------------


def test_a_variation_is_a_choice_with_the_claim_that_its_options_are_equally_long() -> None:
    """The alternatives stand side by side, and unequal ones are refuted at the line."""
    text = "dance:\n  Vine x2 | Cowboy\n  Vine | Double Basic\n"

    assert "(V V | C) (V | D)" == danced(text)
    assert ["proved", "refuted"] == list(verdicts(text).values())


def test_a_part_whose_times_differ_is_no_alternative() -> None:
    """Which time it is would depend on the choices before."""
    text = "part A:\n  Vine\n  2nd time only:\n    Stomp\n\ndance:\n  A | Vine\n"

    assert [("mark-not-possible-here", 9)] == codes(text)


def test_parts_and_figures_share_their_names_whatever_the_spelling() -> None:
    """Case, hyphens and spaces don't tell names apart."""
    text = "figures:\n  Mill Wheel: DS DS RS RS\n\npart mill-wheel:\n  Vine\n\ndance:\n  MILL WHEEL\n"

    assert [("name-taken-twice", 6)] == codes(text)
    assert "M M" == danced("figures:\n  Mill Wheel: DS DS RS RS\n\ndance:\n  mill-wheel\n  MILLWHEEL\n")


def test_own_figures_shadow_the_book_s() -> None:
    """A sheet's own Vine is danced instead of the book's."""
    text = "figures:\n  Vine, 2 beats: DS RS\n\ndance: 2 beats\n  Vine\n"

    assert {"proved"} == set(verdicts(text).values())


def test_a_name_in_two_books_needs_its_book() -> None:
    """Where both books have a name, the line says which is meant."""
    both = "book: clogging, line"

    assert [("name-in-two-books", 4)] == codes("dance:\n  Triple\n", both)
    assert ["proved"] == list(verdicts("dance: 6 beats\n  Triple from line\n  Triple from clogging\n", both).values())


def test_a_name_in_two_books_that_is_danced_alike_in_both_needs_none() -> None:
    """A jazz box is four steps in either book under every reading, so nothing hangs on which is meant; a heel does."""
    both = "book: clogging, line"

    assert ["proved"] * 2 == list(
        verdicts("part A: 5 beats, left foot to right foot\n  Jazz Box\n  Step\ndance:\n  A\n", both).values()
    )[:2]
    assert [("name-in-two-books", 4)] == codes("dance:\n  Heel\n", both)
    assert [("name-in-two-books", 4)] == codes("dance:\n  Stomp\n", both)


def test_a_figure_that_is_known_by_name_is_not_given_the_steps_of_another() -> None:
    """What is offered for a name without footwork holds no movements: its free foot would be a guess."""
    (found,) = pipeline.check_text("book: clogging\ndance:\n  Turkey\n", engine="walk").diagnostics

    assert "footwork-not-published" == found.code.name
    assert found.hints
    assert not any("DS" in hint or "S S" in hint for hint in found.hints)


def test_a_part_inside_itself_is_ill_formed() -> None:
    """A circle of parts has no length; it is found once, where it closes."""
    assert [("part-inside-itself", 6)] == codes("part A:\n  B\n\npart B:\n  A\n\ndance:\n  A\n")


def test_a_written_turn_replaces_the_figure_s_own_and_is_absolute() -> None:
    """Left stays left whichever foot leads; `no turn` takes the figure's own away."""
    text = "part A:\n  Vine x2, turn 1/4 left\n  expect facing 6:00\n\ndance:\n  A\n"

    assert ["proved"] == list(verdicts(text).values())
    assert "T+0" == danced("dance:\n  Turning Push-off, no turn\n")


def test_a_turn_of_a_line_needs_a_side() -> None:
    """A quarter turn to nowhere is ill-formed."""
    assert [("turn-needs-a-side", 4)] == codes("dance:\n  Vine, turn 1/4\n")


def test_the_wait_is_no_part_of_the_dance_and_a_hold_is() -> None:
    """Silence that the sheet writes lasts; the wait before the first step doesn't."""
    text = "dance: 6 beats\n  Vine\n  hold 2 beats\n"

    assert ["proved"] == list(verdicts(text, "book: clogging\nwait: 16 beats").values())


def test_the_header_s_lead_and_facing_are_where_the_dance_begins() -> None:
    """The first step is on the lead foot, and the room's facing counts from the header's."""
    header = "book: clogging\nlead: right\nfacing: back"
    text = "dance:\n  expect facing back, right foot\n  Vine, right foot, turn 1/2 left\n  expect facing front\n"

    assert {"proved"} == set(verdicts(text, header).values())


def test_every_mistake_of_a_sheet_is_found_in_one_run() -> None:
    """A line that can't be laid out doesn't hide the next one."""
    text = "part A:\n  Vime\n  Vine, turn 1/4\n  Tripel\n\ndance:\n  A, first 99 beats\n"

    assert {4, 5, 6} <= {line for _, line in codes(text)}


def test_ids_of_claims_stay_when_other_lines_change() -> None:
    """A claim is known by its part and its words, not by its line."""
    text = "part A: 4 beats, left foot\n  Vine\n\ndance:\n  A\n"
    more = text.replace("  Vine\n", "  # a comment\n  Vine, 4 beats, left foot\n")

    assert list(verdicts(text)) == [name for name in verdicts(more) if name in verdicts(text)]
    assert Verdict.PROVED is pipeline.check_text(f"book: clogging\n\n{more}", engine="walk").verdict


LAST = """\
routine: Low Water
book: clogging
part A:
  Basic
  except last time:
    Double Basic
part B: 4 beats
  except last time:
    A
  Rocking Chair
dance: {beats} beats
  A
  A
  B
"""


@pytest.mark.parametrize(("beats", "verdict"), [(11, Verdict.PROVED), (14, Verdict.REFUTED)])
def test_the_last_time_is_that_of_the_dance(beats: int, verdict: Verdict) -> None:
    """A call that is left out, being the last time of the part around it, is no time of the part that it calls."""
    assert verdict is pipeline.check_text(LAST.format(beats=beats), engine="walk").verdict


@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("Triple * 3", "write Triple x3"),
        ("Triple R", "write Triple, right foot if that foot leads it"),
        ("Stomp Double to the left", "write Stomp Double (to the left)"),
        ("Basic L", "write Basic, left foot if that foot leads it"),
        ("Triple + Basic x2", "write one figure a line: Basic on the next one"),
        ("Triple then Basic", "write one figure a line: Basic on the next one"),
        ("Triple or Basic", "write Triple | Basic if each dancer chooses"),
    ],
)
def test_words_spoken_behind_a_name_are_understood(line: str, hint: str) -> None:
    """A foot or a number put behind a name as it is spoken brings the way to write it, whether the word has readings or
    not."""
    found = routine(f"part A:\n  {line}\ndance:\n  A").diagnostics

    assert any(hint in one for error in found for one in (error.message, *error.hints)), found


def test_a_time_that_never_comes_is_said_of_a_part_that_is_never_danced() -> None:
    """Such a part is checked as its first and last time, so neither a 5th of four times comes nor its own 2nd."""
    text = "part A:\n  4 times:\n    Triple\n    5th time only:\n      Stomp\n  2nd time only:\n    Basic\npart B:\n  Triple\ndance:\n  B"
    report = pipeline.check(routine(text), engine="walk")

    assert [5, 7] == [claim.line - 1 for claim in report.claims if claim.verdict is Verdict.VACUOUS]


@pytest.mark.parametrize(
    "text",
    [
        "part A: 4000000000 counts\n  Triple\n\ndance:\n  A\n  A\n",
        "prat A: 4 counts\n  Triple\n\ndance:\n  A\n  A\n",
        "part A 4 counts\n  Triple\n\ndance:\n  A\n  A\n",
        "Part A - 4 counts\n  Triple\n\ndance:\n  Part A\n  A\n",
        "Chorus:\n  Triple\n\ndance:\n  Chorus\n  Chorus\n",
        "figures: \n  Mill Wheel, 4 cuonts: DS DS RS RS\n\ndance:\n  Mill Wheel\n  mill-wheel x2\n",
    ],
)
def test_a_name_whose_own_line_is_not_understood_is_not_blamed_where_it_is_used(text: str) -> None:
    """One mistake in the heading of a part, or in a figure's line, is one finding, however often the name is danced."""
    assert 1 == len(codes(text))
    assert ("unknown-name", 8) in codes(text.rpartition("  ")[0] + "  Weir\n")


def test_a_part_is_called_by_its_name_alone() -> None:
    """`part A` in the dance is A; that A is never danced is not said of a sheet with a line that is not understood."""
    (found,) = routine("part A:\n  Triple\ndance:\n  part A\n").diagnostics

    assert ("unknown-name", "did you mean A?") == (found.code.name, found.hints[0])


@pytest.mark.parametrize(
    ("said", "meant"),
    [("title", "routine"), ("BPM", "tempo"), ("Intro", "wait"), ("choreographer", "author"), ("tempoo", "tempo")],
)
def test_fields_that_other_sheets_have_are_understood(said: str, meant: str) -> None:
    """What a header calls otherwise elsewhere is told its name here; a misspelt one the nearest."""
    (found,) = routine("dance:\n  Basic\n", header=f"{said}: 120\nbook: clogging").diagnostics

    assert ("unknown-header", (f"did you mean {meant}?",)) == (found.code.name, found.hints)


def test_a_name_that_is_endless_is_cut_in_the_sentence() -> None:
    """Nobody reads a name of a thousand letters; its place is exact all the same."""
    (found,) = routine(f"dance:\n  {'Q' * 1000}\n").diagnostics

    assert len(found.message) < 120 and all(len(hint) < 150 for hint in found.hints)
    assert 1000 == found.span.end_column - found.span.column


# -- the program as it is laid out -----------------------------------------------------------------------------------


def shape(body: Body) -> str:
    """Return a body in short: figures and rests as `danced` has them, checks as `test=value` with lengths in beats.

    Passes are written `Name(…)`, with `!` behind a lap and `~4` behind what lasts four beats; repeats `3*(…)`.
    """
    return " ".join(map(_shape, body))


def _shape(item: Item) -> str:
    lasts = getattr(item, "lasts", None)
    tail = f"~{lasts // 12}" if lasts is not None else ""
    match item:
        case Check():
            value = item.value // 12 if item.test is Test.CLOCK and item.value is not None else item.value
            return f"{item.test.name.lower()}={value}"
        case Together():
            return "{" + shape(item.checks) + "}"
        case Choice():
            return ("(" if item.claim else "?(") + " | ".join(map(shape, item.options)) + ")"
        case Repeat():
            return f"{item.times}*({shape(item.body)})"
        case Pass():
            return f"{item.part}{'!' * item.lap}({shape(item.body)}){tail}"
        case Timed() | Lap() | Forever() | Last():
            return f"{type(item).__name__}({shape(item.body)}){tail}"
        case Gap():
            return f"?{item.ticks // 12}"
    return _danced((item,))[0]


def laid(text: str, header: str = "book: clogging") -> str:
    """Return the dance of a sheet in short, its laps marked where its header claims walls."""
    made = routine(text, header)
    assert made.program is not None, [found.message for found in made.diagnostics]
    return shape(made.program.dance) if "walls" in header else shape(made.program.dance).replace("!", "")


def spares(text: str) -> dict[str, str]:
    """Return the parts of a sheet that are never danced, in short, each with the weights from which it is checked."""
    made = routine(text)
    assert made.program is not None, [found.message for found in made.diagnostics]
    return {
        "".join(weight.name[0] for weight in one.weights) + f" {n}": shape(one.body)
        for n, one in enumerate(made.program.spares)
    }


def walls_body(text: str) -> str:
    """Return the pass that the claim about walls speaks of, in short."""
    made = routine(text, "book: clogging\nwalls: 4")
    assert made.program is not None, [found.message for found in made.diagnostics]
    assert made.program.walls is not None
    return shape(made.program.walls.body)


def unmet(text: str) -> list[str]:
    """Return the texts of the claims that a time comes, of which none does."""
    made = routine(text)
    assert made.program is not None, [found.message for found in made.diagnostics]
    return [claim.text for claim in made.program.claims if claim.kind is Kind.TIME]


WHOLE = """\
part B: right foot, 4 beats
  counts 1-4, left foot:
    Vine, right foot, 4 beats, facing 9:00
part A: left foot to right foot, 1/4 turn left, front to left wall, 2nd time right foot to right foot
  Vine, turn 1/4 left | Cowboy
  2nd time only:
    Triple
  every 2nd time only:
    Triple
  last time only:
    Triple
  2 times:
    B
    2nd time only:
      Stomp
  expect front
dance:
  A until the music ends
"""


def test_a_pass_for_its_steps_alone_checks_nothing_but_the_feet_that_it_orders() -> None:
    """Of lines, headings and contracts, its own and those of parts in it, of the times behind those that are named."""
    inner = "B(lead=1 lead=0 lead=1 V)"
    plain, second = (f"lead=0 ?(V-2 | C){more} {inner} {inner} S" for more in ("", " T"))

    assert f"?({plain} | {second})" == walls_body(WHOLE)


@pytest.mark.parametrize("dance", ["A, first 4 beats", "A, opposite foot", "Vine", "A\n  A x2", "B\n  A"])
def test_the_pass_that_walls_speak_of_is_the_same_however_it_is_danced(dance: str) -> None:
    """Cut passes only, opposite ones, none at all: the claim is about the part as it is written."""
    text = "part A:\n  Vine, turn 1/4 left\n  Vine\n  2nd time only:\n    Stomp\n\ndance:\n  " + dance + "\n"

    assert "V-2 V" == walls_body(text.replace("\n  B\n", "\n  Vine\n"))


def test_a_block_is_the_pass_where_it_goes_on_until_the_music_ends() -> None:
    """It is any of its times in a round of those that nothing names, and each of its times is a lap."""
    text = "part A: left foot\n  Vine\npart B:\n  Vine\ndance:\n  until the music ends:\n    A\n    except every 2nd time:\n      B\n"

    assert "?(A(lead=0 V) B(V) | A(lead=0 V))" == walls_body(text)
    assert "Forever(Lap(A(lead=0 V) B(V)) Lap(A(lead=0 V)))" == laid(text)


def test_laps_are_all_whole_passes_of_the_part_as_it_is_written() -> None:
    """Wherever they stand; those cut, mirrored, or of the opposite foot are none, nor are those in such passes."""
    text = (
        "part A:\n  Vine, turn 1/4 left\n  Vine\npart B:\n  A\n  A, mirrored\ndance:\n"
        "  B\n  B, mirrored\n  B, opposite foot\n  A, first 4 beats\n  A x2 | A, opposite foot\n  A until the music ends\n"
    )

    assert (
        "B(A!(V-2 V) A(V+2 V)) B(A(V+2 V) A!(V-2 V)) B(A(V-2 V) A(V+2 V)) A(V-2)~4 (2*(A!(V-2 V)) | A(V-2 V)) "
        "Forever(A!(V-2 V))"
    ) == laid(text, "book: clogging\nwalls: 4")


def test_a_part_danced_with_the_opposite_foot_in_one_that_is_is_danced_as_written() -> None:
    """The swaps undo each other, so turns and facings are checked again."""
    text = "part A: 1/4 turn left\n  Vine, left foot, turn 1/4 left\npart B:\n  A, opposite foot\ndance:\n  B, opposite foot\n"

    assert "B(A(lead=0 V-2 turn=-2))" == laid(text)


def test_a_heading_whose_counts_begin_at_the_cut_is_not_reached() -> None:
    """Nothing of it is laid, neither its foot nor its start; one that ends there is whole."""
    text = (
        "part P: left foot, 9 counts\n  counts 1-4, facing front:\n    Basic x2\n  expect left foot\n"
        "  counts 5-9, left foot:\n    expect back\n    Basic x2\n\ndance:\n  P, first {} counts\n"
    )

    assert "P(lead=0 clock=0 2*(B) clock=4 facing=0 foot=0)~4" == laid(text.format(4))
    assert "P(lead=0 clock=0 2*(B) clock=4 facing=0 foot=0 clock=4 lead=0 facing=4 1*(B))~6" == laid(text.format(6))


def test_a_cut_is_by_the_counts_danced() -> None:
    """Whatever is claimed of them, and a pass inside counts what is danced in it."""
    text = "part Q: 8 beats\n  Vine\npart P:\n  counts 1-8:\n    Q\n  Vine x2\n\ndance:\n  P, first 8 counts\n"

    assert "P(clock=0 Q(V clock=8) clock=8 1*(V))~8" == laid(text)


def test_what_comes_behind_a_cut_is_not_counted() -> None:
    """The second pass of Q in the dance is that of the second P; a named time behind the cut does not come."""
    part = "part Q:\n  Basic\n  2nd time only:\n    Stomp\npart P:\n  Vine\n  Q\n  1st time only:\n    Triple\ndance:\n  P, first 4 beats\n  {}\n"

    assert "P(V)~4 P(V Q(B)) Q(B S)" == laid(part.format("P\n  Q"))
    assert ["1st: time 1"] == unmet(part.format("Q\n  Q"))


def test_the_last_pass_under_the_music_is_cut_like_any_other() -> None:
    """It keeps the start of its contract, and lasts till the music ends."""
    text = (
        "music:\n  song 12\n\npart A: 8 beats, left foot\n  counts 1-4:\n    Vine\n  counts 5-8:\n    Vine\n\n"
        "dance:\n  A until the music ends\n"
    )
    short = "A(lead=0 clock=0 V clock=4)~4"

    assert f"Timed(A(lead=0 clock=0 V clock=4 clock=4 V clock=8 clock=8) {short} clock=12)" == laid(text)
    assert f"Timed({short} clock=4)" == laid(text.replace("song 12", "song 4"))
    block = text.replace("  A until the music ends\n", "  until the music ends:\n    A\n")
    assert f"Timed(Timed({short})~4 clock=4)" == laid(block.replace("song 12", "song 4"))


def test_a_length_before_a_cut_shows_itself_where_the_cut_splits_a_turn() -> None:
    """The sheet is ill-formed for the cut, and the length that is refuted may be why."""
    text = "part P:\n  counts 1-8:\n    Basic x3\n  Triple, turn 1/4 left\n  expect right foot\ndance:\n  P\n  P, first 8 counts\n"
    report = pipeline.check_text(f"book: clogging\n\n{text}", engine="walk")

    assert Verdict.ILL_FORMED is report.verdict
    assert ["wrong-counts", "cut-splits-a-turn"] == [one.code.name for one in report.diagnostics]


def test_pieces_at_the_end_of_a_contract_are_judged_together() -> None:
    """In the order length, turn, net facing, foot, whatever their order in the text; one alone stands by itself."""
    text = "part A: left foot to right foot, front to left wall, 1/2 turn, 4 beats\n  Vine\npart B: 4 beats\n  Vine\ndance:\n  A\n  B\n"

    assert "A(lead=0 V {clock=4 either=4 facing=6 foot=1}) B(V clock=4)" == laid(text)


@pytest.mark.parametrize("turn", ["1/4 turn", "3/4 turn", "1/8 turn", "1 1/4 turns"])
def test_a_contract_s_turn_of_less_than_a_half_needs_a_side(turn: str) -> None:
    """It lands on two walls, whether the part is danced or not."""
    assert [("turn-needs-a-side", 3)] == codes(f"part A: {turn}\n  Vine\n\ndance:\n  Vine\n")


def test_whole_and_half_turns_of_a_contract_need_none() -> None:
    """They land on one wall, whichever way they go."""
    for turn in ("1/2 turn", "full turn", "1 1/2 turns", "no turn"):
        assert [] == codes(f"part A: {turn}\n  Vine\n\ndance:\n  A\n")


def test_a_timed_piece_takes_the_place_of_the_general_one_of_its_kind() -> None:
    """Feet are of one kind, written with what they lead to or without."""
    text = (
        "part A: 4 beats, no turn, front to front, left foot, 2nd time 8 beats, 2nd time full turn, 2nd time front to back, "
        "2nd time right foot to both feet\n  Vine\n\ndance:\n  A x3\n"
    )
    general = "A(lead=0 V {clock=4 turn=0 facing=0})"

    assert f"{general} A(lead=1 V {{clock=8 either=8 facing=4 both=None}}) {general}" == laid(text)


def test_every_so_many_that_never_come_are_a_claim_of_their_own() -> None:
    """As are single times, of lines, of blocks and of parts; a time that is left out by `except` comes."""
    text = (
        "part A:\n  2 times:\n    every 3rd time only:\n      Vine\n    except 2nd time:\n      Vine\n"
        "  Vine x3, turn 1/4 left on every 4th, turn 1/4 left on 5th\n  every 2nd time only:\n    Vine\n\ndance:\n  A{}\n"
    )
    never = ["every 3rd: time 3", "turn 1/4 left on every 4th: time 4", "turn 1/4 left on 5th: time 5"]

    assert [*never, "every 2nd: time 2"] == unmet(text.format(""))
    assert never == unmet(text.format(" x2"))


def test_a_turn_on_some_times_needs_a_repeat_around_it() -> None:
    """The times of a part are none of a repeat."""
    assert [("time-outside-repeat", 4)] == codes("part A:\n  Vine, turn 1/4 left on 2nd\n\ndance:\n  A x2\n")


def test_counts_that_begin_at_1_again_number_anew() -> None:
    """From where the counts before end: those behind them run on from there, also under a named time and under a
    heading."""
    counts = "part P:\n" + "".join(f"  counts {n}:\n    Vine\n" for n in ("1-4", "5-8", "1-4", "5-8")) + "dance:\n  P\n"
    inside = "part P:\n  counts 1-4:\n    Vine\n  1st time only:\n    counts 5-8:\n      counts 1-4:\n        Vine\ndance:\n  P\n"
    later = "part P:\n  2 times:\n    2nd time only:\n      counts 1-4:\n        Vine\ndance:\n  P\n"

    assert "P(" + " ".join(f"clock={n} V clock={n + 4}" for n in (0, 4, 8, 12)) + ")" == laid(counts)
    assert "P(clock=0 V clock=4 clock=4 clock=4 V clock=8 clock=8)" == laid(inside)
    assert "P(Timed() Timed(clock=0 V clock=4))" == laid(later)


def test_a_length_of_the_dance_says_where_the_music_ends() -> None:
    """As one section of that length would: the passes are as many as fit, the last one cut."""
    text = "part A: 8 beats\n  Vine x2\ndance: 20 beats\n  Vine\n  A until the music ends\n"

    assert "Timed(V 2*(A(2*(V) clock=8)) clock=20)" == laid(text)
    assert "Timed(V A(2*(V) clock=8) A(1*(V))~4 clock=16)" == laid(text.replace("20", "16"))


@pytest.mark.parametrize(
    ("part", "weights"),
    [
        ("part A: left foot\n  Vine", "R"),
        ("part A: 2nd time left foot to left foot\n  Vine", "LR"),
        ("part A: 1st time left foot to left foot, right foot\n  Vine", "R"),
        ("part A: both feet\n  Vine, left foot", "B"),
        ("part A:\n  Vine, both feet", "LR"),
        ("part A:\n  Vine", "LR"),
        ("part A:\n  hold 2 beats\n  2 times:\n    counts 1-4:\n      Vine, right foot", "L"),
        ("part A:\n  counts 1-4, right foot:\n    Vine", "L"),
        ("part A:\n  2nd time only:\n    Vine, left foot\n  last time only:\n    Vine, right foot", "L"),
        ("part A:\n  Vine, right foot | Cowboy, right foot", "L"),
        ("part A:\n  Vine, right foot | Cowboy", "LR"),
        ("part A:\n  Danced, opposite foot", "L"),
        ("part A:\n  expect front\n  Standing", "B"),
        ("part A:\n  ? 4 beats\n  Vine, right foot", "LR"),
    ],
)
def test_a_part_that_is_never_danced_begins_with_the_feet_that_it_names(part: str, weights: str) -> None:
    """Of its contract, else of the first line that is danced, else either foot goes first."""
    others = "part Danced: left foot\n  Vine\npart Standing: both feet\n  Vine\n"

    assert weights == next(iter(spares(f"{part}\n{others}dance:\n  Danced\n  Standing\n"))).split()[0]


def test_a_part_that_is_never_danced_is_its_own_first_and_last_time() -> None:
    """And parts in it are counted from the first there, whatever the dance has of them."""
    text = (
        "part A:\n  Vine\n  2nd time only:\n    Stomp\n  last time only:\n    Triple\npart B:\n  A\n  A\n  A\n"
        "  2nd time only:\n    Stomp\n  last time only:\n    Cowboy\ndance:\n  A\n"
    )

    assert {"LR 0": "B(A(V) A(V S) A(V T) C)"} == spares(text)
    assert ["2nd: time 2"] == unmet(text)


def test_a_part_that_the_dance_never_gets_to_is_never_danced() -> None:
    """One in a time that never comes, behind a cut, or only in such a part."""
    text = (
        "part A:\n  Vine\n  B\n  2nd time only:\n    C\npart B:\n  Stomp\npart C:\n  D\npart D:\n  Triple\n"
        "dance:\n  A, first 4 beats\n"
    )

    assert {"LR 0": "B(S)", "LR 1": "C(D(T))", "LR 2": "D(T)"} == spares(text)
    assert 3 == sum(found.code.name == "part-never-danced" for found in routine(text).diagnostics)


@pytest.mark.parametrize(
    "inner",
    [
        "  {0} x1000\n  Triple x1000, turn 1/4 left on 777th\n",
        "  {0} x1000\n  777th time only:\n    Triple\n",
        "  1000 times:\n    {0}\n    777th time only:\n      Triple\n",
    ],
)
def test_named_times_of_forty_nested_parts_are_laid_out_shortly(inner: str) -> None:
    """Equal passes are laid out once, however often they come and however deep: a clean sheet of that size takes no
    less."""
    parts = "".join(f"part P{number}:\n{inner.format(f'P{number - 1}')}" for number in range(1, 41))
    made = routine(f"part P0:\n  Basic\n{parts}dance:\n  P40\n")
    assert made.program is not None
    bodies: dict[int, Body] = {}

    def collect(body: Body) -> None:
        if id(body) not in bodies:
            bodies[id(body)] = body
            for item in body:
                collect(getattr(item, "body", ()))

    collect(made.program.dance)

    assert sum(map(len, bodies.values())) < 40 * 500


def test_parts_too_deep_in_one_another_are_refused() -> None:
    """Three hundred parts, each in the next, are one finding, and no crash."""
    parts = "".join(f"part P{n}:\n  P{n - 1}\n" for n in range(1, 301))
    assert ["too-many-steps"] == [name for name, _ in codes(f"part P0:\n  Basic\n{parts}dance:\n  P300\n")]


def test_what_goes_on_for_ever_is_laid_out_though_a_named_time_in_it_never_comes() -> None:
    """A part that no lap dances again has no time to wait for."""
    text = "part A:\n  Vine\n  5th time only:\n    Stomp\npart B:\n  Vine\n  1st time only:\n    A\ndance:\n  B until the music ends\n"

    assert "B(V A(V)) Forever(B(V))" == laid(text)


def test_rounds_within_rounds_are_laid_out_as_they_come() -> None:
    """A part danced every 2nd time, and different every 2nd of its own times, comes round after four."""
    text = "part A:\n  Vine\n  every 2nd time only:\n    Stomp\ndance:\n  9 times:\n    Basic\n    every 2nd time only:\n      A\n"

    assert "2*(B B A(V) B B A(V S)) B" == laid(text)


def test_only_so_many_unknown_names_are_compared_with_all_others() -> None:
    """The first ones are told what may be meant; a sheet full of them is answered in time."""
    found = routine("dance:\n" + "".join(f"  Tripel{number:04}\n" for number in range(3000))).diagnostics

    assert 3000 == len(found)
    assert "did you mean Triple?" in found[0].hints
    assert not any("did you mean" in hint for hint in found[-1].hints)


def test_what_is_cut_must_not_hang_on_readings() -> None:
    """With all readings, a cut or a last pass that falls elsewhere under another reading is refused; others are not."""

    def refused(*rows: str) -> list[str]:
        routine = pipeline.loads("\n".join(("book: line", "part A:", "  Vine", "  Vine", *rows)), readings="all")
        return [one.message for one in routine.diagnostics if one.code.name == "mark-not-possible-here"]

    said = ["how much is danced here hangs on how words are read"]
    assert said == refused("dance:", "  A, first 4 counts")
    assert said == refused("music:", "  verse 12", "dance:", "  A until the music ends")
    assert [] == refused("dance:", "  A, first 2 counts")
    assert [] == refused(
        "part B: 4 counts", "  Vine", "music:", "  verse 8", "dance:", "  B", "  B until the music ends"
    )


def test_only_a_foot_that_is_to_be_found_is_swapped_where_it_stands() -> None:
    """A foot that the sheet states is written into its check as it is danced there; one left open has no foot yet."""
    made = routine("part A:\n  Triple, ? foot\n  Basic, left foot\n\ndance:\n  A, mirrored\n  A\n").program
    assert made is not None
    found = [(one.blank, one.feet, one.value) for one in every(made.dance) if isinstance(one, Check)]

    assert [(True, True, None), (False, False, 1), (True, False, None), (False, False, 0)] == found


def test_passes_in_a_part_that_is_cut_are_counted_with_those_before() -> None:
    """One in the dance, one in the four beats of A: the next is the third."""
    text = (
        "part B:\n  Triple\n  3rd time only:\n    Basic\n\npart A:\n  B\n  B\n\ndance:\n  B\n  A, first 4 beats\n  B\n"
    )

    assert "T T T B" == danced(text)


def test_headings_run_on_from_where_they_began_anew() -> None:
    """A second `counts 1-8` numbers anew, and `counts 9-16` behind it stands right behind that."""
    rows = "".join(f"  counts {one}:\n    Triple x2\n" for one in ("1-8", "1-8", "9-16"))
    made = routine(f"part A:\n{rows}\ndance:\n  A\n").program
    assert made is not None

    assert [0, 96, 96, 192, 192, 288] == [one.value for one in every(made.dance) if isinstance(one, Check)]


def test_a_time_that_differs_is_laid_out_whatever_the_music() -> None:
    """Of eighteen beats of laps the second one is longer; those behind it are alike again."""
    text = "part A:\n  Triple\n\ndance: 18 beats\n  until the music ends:\n    A\n    2nd time only:\n      Basic\n"

    assert "T T B T T" == danced(text)


def test_a_part_that_is_danced_whole_and_cut_is_no_spare_one() -> None:
    """With lines kept, what a cut leaves is laid out later: its parts come all the same, and are danced once only."""
    text = "book: clogging\n\npart B:\n  Triple\n\npart A:\n  B\n  B\n\npart C:\n  Basic\n\ndance:\n  A, first 4 beats\n  B\n"
    sheet = pipeline.loads(text).sheet
    registry, (facts, _) = register(sheet), read(sheet)
    made = Dance(sheet, facts, registry, Names(sheet, facts, registry), lined=True).program()
    assert made is not None

    assert ["Basic"] == [one.figure.name for spare in made.spares for one in every(spare.body) if isinstance(one, Step)]


@pytest.mark.parametrize("name", ["Weir", "Weirs"])
def test_a_name_whose_definition_is_not_understood_is_not_unknown_as_well(name: str) -> None:
    """Wherever it stands on its line, one mistake is one finding."""
    text = f"part {name}, nonsense:\n  Triple\n\npart A:\n  {name}, left foot\n  {name} x2\n\ndance:\n  A\n"

    assert [("line-not-understood", 3)] == codes(text)
