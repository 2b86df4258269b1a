"""Changes that hints spell out."""

import pickle
from difflib import unified_diff

import pytest

from stepcheck.language.patch import Rewrite, difference, from_diff, told
from stepcheck.model.findings import Hint, Patch
from stepcheck.model.source import Source, Span
from stepcheck.report import pipeline


def test_what_a_hint_writes_stands_in_its_place() -> None:
    """The place is that of the finding unless another is named, and the text is part of the sentence."""
    source = Source("x", "part A:\n  Basc x2, Basc\n")
    hint = Rewrite("Basic", said="did you mean {}?", also=((9, 13),)).hint(2, "  ", (0, 4))

    assert "did you mean Basic?" == hint and "write Basic" == hint.patch.about
    assert "part A:\n  Basic x2, Basic\n" == hint.patch.applied(source)


def test_several_lines_begin_under_the_first() -> None:
    """A heading and the line under it take the margin of the line that they replace, tabs too."""
    source = Source("x", "part A:\n\tBasic (2nd time only)\n")
    hint = Rewrite("2nd time only:\n  Basic", (0, 21)).hint(2, "\t", (7, 20))

    assert "write 2nd time only: above it" == hint
    assert "part A:\n\t2nd time only:\n\t  Basic\n" == hint.patch.applied(source)


def test_a_hint_is_its_sentence_and_keeps_its_change() -> None:
    """A hint prints, compares and travels as a text; its change travels with it."""
    hint = Hint("write Basic", Patch("write Basic", ((Span(1, 1, 1, 5), "Basic"),)), "write another name")
    again = pickle.loads(pickle.dumps(hint))

    assert "write Basic" == hint == again == f"{hint}"
    assert (hint.patch, hint.otherwise) == (again.patch, again.otherwise)
    assert ("write Basic", "look again") == told((Rewrite("Basic"), "look again"))


def test_a_difference_says_how_it_came_about() -> None:
    """Every diff of a sheet is made in one place: the name, and behind it what was done."""
    assert ["--- x", "+++ x (filled)", "@@ -1 +1 @@", "-a", "+b"] == difference(
        Source("x", "a\n"), "b\n", "filled"
    ).splitlines()


def written(text: str, code: str) -> list[str]:
    """Return what becomes of a sheet by each change that its finding of this code spells out."""
    report = pipeline.check_text(text, engine="walk")
    (finding,) = (one for one in report.diagnostics if one.code.name == code)
    return [hint.patch.applied(Source("x", text)) for hint in finding.hints if hint.patch]


def test_a_claim_to_be_written_takes_the_place_of_the_claim() -> None:
    """The sheet's sentence may be the wrong one; the second foot of a pair is changed as it stands, with its `to`."""
    text = "routine: X\nbook: clogging\npart A: left foot to right foot\n  Basic x2\ndance:\n  A\n"

    assert [text.replace("to right foot", "to left foot")] == written(text, "wrong-free-foot")


def test_a_claim_is_changed_on_its_own_line() -> None:
    """The finding stands where a part is danced, its claim at the part: the change is made there."""
    text = "routine: X\nbook: clogging\npart A:\n  Basic\npart B: left foot\n  Triple\ndance:\n  A\n  B\n"

    assert [text.replace("part B: left foot", "part B: right foot")] == written(text, "foot-not-free")


def test_several_stretches_give_way_at_once() -> None:
    """Stretches are those of the text before the change, in any order and over line ends."""
    source = Source("x", "one\ntwo\nthree")
    patch = Patch("", ((Span(3, 1, 3, 6), "3"), (Span(1, 1, 2, 1), "1 "), (Span(2, 4, 2, 4), "!")))

    assert "1 two!\n3" == patch.applied(source)


@pytest.mark.parametrize("context", [0, 1, 3])
@pytest.mark.parametrize(
    "after",
    [
        "a\nB\nc\nd\ne\n",
        "a\nc\nd\ne\n",
        "x\na\nb\nc\nd\ne\n",
        "a\nb\nc\nd\ne\nf\n",
        "b\nb2\nc\n-d\n+e\n",
        "a\nb\nc\nd\ne\n",
    ],
)
def test_a_diff_is_a_change_too(after: str, context: int) -> None:
    """Whatever lines it takes, gives or replaces, applying it gives the text that the diff leads to."""
    before = "a\nb\nc\nd\ne\n"
    diff = "\n".join(unified_diff(before.splitlines(), after.splitlines(), "x", "x", lineterm="", n=context))

    assert after == from_diff("about", diff).applied(Source("x", before))
