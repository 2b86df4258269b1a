"""Changes that hints spell out."""

from difflib import unified_diff

import pytest
from attrs import evolve

from stepcheck.language.patch import Patch, from_diff, patches
from stepcheck.model.source import Source, Span
from stepcheck.report import pipeline
from tests.unit.report.test_values import ILL_FORMED, REFUTED, SOURCE


def test_a_name_that_was_meant_takes_the_place_of_the_wrong_one() -> None:
    """Each name offered is a change of its own, at the very letters of the mistake."""
    finding = evolve(ILL_FORMED, hints=("did you mean Basic?", "did you mean Brush?", "or define it under figures:"))
    found = patches(SOURCE, finding)

    assert ["write Basic", "write Brush"] == [patch.about for patch in found]
    assert SOURCE.text.replace("Basc", "Basic") == found[0].applied(SOURCE)


def test_a_claim_to_be_written_takes_the_place_of_the_claim() -> None:
    """The sheet's sentence may be the wrong one: what the hint would write stands where the claim stood."""
    (patch,) = patches(SOURCE, REFUTED, "left foot")

    assert SOURCE.text.replace("left foot", "right foot") == patch.applied(SOURCE)


def test_the_end_of_a_contract_keeps_its_to() -> None:
    """`left foot to left foot` has two feet; the second is changed as it stands, with its `to`."""
    source = Source("x", "part A: left foot to left foot\n")
    finding = evolve(REFUTED, span=source.whole_line(1))
    (patch,) = patches(source, finding, "to left foot")

    assert "part A: left foot to right foot\n" == patch.applied(source)


@pytest.mark.parametrize("claim", ["", "both feet"])
def test_a_hint_that_spells_nothing_out_changes_nothing(claim: str) -> None:
    """Advice in words, and a claim that does not stand on the line, give no change."""
    assert () == patches(SOURCE, REFUTED, claim)
    assert () == patches(SOURCE, evolve(ILL_FORMED, hints=("write it out", "did you mean it")))


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


def test_a_claim_is_changed_on_the_line_that_the_hint_names() -> None:
    """The finding stands where a part is danced, its claim at the part: the change is made there."""
    text = "routine: X\nbook: clogging\npart A:\n  Basic\npart B: left foot\n  Triple\ndance:\n  A\n  B\n"
    report = pipeline.check_text(text, engine="walk")
    (finding,) = (one for one in report.diagnostics if one.code.name == "foot-not-free")
    found = patches(Source("x.routine", text), finding, "left foot")

    assert 9 == finding.span.line
    assert [text.replace("part B: left foot", "part B: right foot")] == [
        patch.applied(Source("x.routine", text)) for patch in found
    ]
