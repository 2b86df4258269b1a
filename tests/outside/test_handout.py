"""The sheet for the class in a real browser (headless Chromium, as Debian packages it): on a phone, a tablet, a desk, and
on paper."""

import base64
from itertools import pairwise
from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By

import stepcheck as sc
from tests.corpus.expected import ROOT

pytestmark = pytest.mark.browser
SHEETS = [path for path in sorted((ROOT / "specs" / "routines").glob("*.routine")) if path.stem != "millpond_drill"]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
@pytest.mark.parametrize("width", [360, 760, 1280])
def test_nothing_stands_beyond_the_edge(chromium: webdriver.Chrome, tmp_path: Path, path: Path, width: int) -> None:
    """At three widths nothing has to be scrolled sideways, no step lies on another, and nothing is fetched."""
    file = tmp_path / "class.html"
    file.write_text(sc.handout_html(sc.handout(sc.load(path))), "utf-8")
    device = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": width < 400}
    chromium.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", device)
    try:
        chromium.get(file.as_uri())
        assert width >= chromium.execute_script("return document.documentElement.scrollWidth")
        boxes = [one.rect for one in chromium.find_elements(By.CSS_SELECTOR, ".steps li")]
        assert boxes and all(one["x"] + one["width"] <= width for one in boxes)
        assert all(one["y"] + one["height"] <= then["y"] + 0.5 for one, then in pairwise(boxes))
        tall = "return parseFloat(getComputedStyle(document.querySelector('.count')).fontSize)"
        assert 28 <= chromium.execute_script(tall)
        assert 0 == chromium.execute_script("return performance.getEntriesByType('resource').length")
    finally:
        chromium.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_it_fits_on_one_sheet_of_paper(chromium: webdriver.Chrome, tmp_path: Path, path: Path) -> None:
    """Printed on A4, every demo sheet is one page."""
    file = tmp_path / "class.html"
    file.write_text(sc.handout_html(sc.handout(sc.load(path))), "utf-8")
    chromium.get(file.as_uri())
    made = chromium.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True, "printBackground": True})
    pdf = base64.b64decode(made["data"])

    assert 1 == pdf.count(b"/Type /Page\n") + pdf.count(b"/Type /Page ") + pdf.count(b"/Type/Page/")


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_no_words_of_the_picture_lie_on_others(chromium: webdriver.Chrome, tmp_path: Path, path: Path) -> None:
    """Every text of the picture is inside it, and its box meets no box of another."""
    file = tmp_path / "class.svg"
    file.write_text(sc.handout_svg(sc.handout(sc.load(path))), "utf-8")
    chromium.get(file.as_uri())
    boxes = chromium.execute_script(
        "const all = document.documentElement.getBoundingClientRect();"
        "return [...document.querySelectorAll('text')].map((one) => {const b = one.getBoundingClientRect();"
        "return [one.textContent, b.left - all.left, b.right - all.left, b.top, b.bottom, all.width]})"
    )

    assert len(boxes) > 10
    for number, (text, left, right, top, bottom, width) in enumerate(boxes):
        assert 0 <= left and right <= width, text
        middle = (top + bottom) / 2
        for other, *box in boxes[number + 1 :]:
            assert not (box[0] < right - 1 and left < box[1] - 1 and box[2] < middle < box[3]), (text, other)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 360])
def test_no_rule_of_axe_is_broken(
    chromium: webdriver.Chrome, axe: str, tmp_path: Path, scheme: str, width: int
) -> None:
    """On a desk and on a phone, in light and dark, the rules of axe-core (npm, for WCAG 2.1) find nothing."""
    file = tmp_path / "class.html"
    file.write_text(sc.handout_html(sc.handout(sc.load(SHEETS[0]))), "utf-8")
    device = {"width": width, "height": 740, "deviceScaleFactor": 1, "mobile": width < 400}
    chromium.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", device)
    features = [{"name": "prefers-color-scheme", "value": scheme}]
    chromium.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    try:
        chromium.get(file.as_uri())
        chromium.execute_script(axe)
        found = chromium.execute_async_script("const done = arguments[0]; axe.run().then(done)")
    finally:
        chromium.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
        chromium.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": []})

    assert 15 < len(found["passes"])
    assert [] == [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]]
