"""The page of any sheet shows what its report says."""

from html.parser import HTMLParser

from hypothesis import given

from stepcheck.formats.floorplan import plan
from stepcheck.formats.page import page
from stepcheck.model import words
from stepcheck.model.outcome import Verdict
from stepcheck.report import pipeline
from stepcheck.strategies import sheets
from tests.profiles import law


class Read(HTMLParser):
    """Reads a page: the elements that stand open at its end, the places that it has and those that it links to, and its
    words."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.places: list[str] = []
        self.links: set[str] = set()
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.places += [told["id"] or ""] if "id" in told else []
        self.links |= {(told.get("href") or "").removeprefix("#")} - {""}
        if tag not in ("meta", "input"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    def handle_endtag(self, tag: str) -> None:
        assert tag == self.open.pop()


@law(30)
@given(sheets())
def test_the_page_of_any_sheet_is_whole_and_ends_as_the_report_says(text: str) -> None:
    """Every element is closed, every link leads somewhere, what is drawn as put right is refuted; and the strip of a
    sheet that is proved ends with a foot and a wall with which `walk.ends`, another follower, says that it can end."""
    routine = pipeline.loads(text)
    report = pipeline.check(routine, engine="walk")
    made = plan(routine, report)
    read = Read()
    read.feed(page([report], {report.path: made}))

    assert [] == read.open
    assert len(read.places) == len(set(read.places)) and read.links <= set(read.places)
    drawn = [one for one in made.dance.moments if one.put_right]
    assert not drawn or report.verdict is Verdict.REFUTED
    found = report.finish
    if (
        found is None
        or made.dance.endless
        or not made.dance.whole
        or not made.dance.moments
        or report.verdict is not Verdict.PROVED
    ):
        return
    last = made.dance.moments[-1]
    assert last.feet[1] is not None and last.facings[1] >= 0
    assert words.free(last.feet[1]) in found.feet and words.facing(last.facings[1], made.clock) in found.facings
