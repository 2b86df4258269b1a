"""Findings about lines: where they point, and where their hints write."""

from stepcheck.language.patch import Rewrite
from stepcheck.language.syntax import NOWHERE
from stepcheck.program.claims import finding
from stepcheck.report import pipeline

TEXT = "routine: Weir\nbook: clogging\n\npart A:\n    Triple, left foot\n\ndance:\n  A\n"


def test_a_hint_writes_where_its_finding_points() -> None:
    """A piece of the line is put in the place of that piece, and the whole line in that of all of it but its margin."""
    sheet = pipeline.loads(TEXT).sheet
    line = next(one for head in sheet.lines for one in head.body if one.number == 5)

    def written(at: tuple[int, int], said: str) -> str:
        (hint,) = finding(sheet, "unknown-name", line, at, "m", Rewrite(said)).hints
        assert hint.patch is not None
        return hint.patch.applied(sheet.source).splitlines()[4]

    assert "    Basic, left foot" == written((0, 6), "Basic")
    assert "    Basic" == written(NOWHERE, "Basic")
