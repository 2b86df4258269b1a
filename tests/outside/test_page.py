"""The HTML page in a real browser: headless Chromium, as Debian packages it, driven over WebDriver.

Whether everybody can use it is asked of the rules of axe-core (npm), which stand for WCAG 2.1; where the package can't be
had the tests that need it are skipped, and say so.
"""

from pathlib import Path

import pytest
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import Select, WebDriverWait

from stepcheck.formats.floorplan import plan
from stepcheck.formats.page import page
from stepcheck.report import pipeline

pytestmark = pytest.mark.browser

GOOD = """\
routine: Alder Reel
book: clogging
walls: 4
part Main: 8 beats
  Triple x2, turn 1/8 right
dance:
  Main until the music ends
"""
LATE = """\
routine: Late Ferry
book: clogging
part Verse: 8 beats
  Triple x2
  Triple
dance:
  Verse
"""
FOOT = """\
routine: Weir <b>Jig</b>
book: clogging
part Chorus: 8 beats
  Triple x2
  expect right foot
dance:
  Chorus
"""
WINDS = """\
routine: Four Gates
book: line
walls: 4
part Main: 8 counts
  Vine x2, turn 1/4 right
dance:
  Main until the music ends
"""
TYPO = "routine: Typo\nbook: clogging\npart A:\n  Tripel\ndance:\n  A\n"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The address of a page over six sheets and a file that is gone."""
    texts = {"alder.routine": GOOD, "late.routine": LATE, "weir.routine": FOOT, "typo.routine": TYPO, "": GOOD}
    return written({**texts, "winds.routine": WINDS}, tmp_path_factory.mktemp("page"))


def written(texts: dict[str, str], folder: Path) -> str:
    """Write the page over some sheets and a file that is gone, and return its address."""
    routines = {path: pipeline.loads(text, path=path) for path, text in texts.items()}
    reports = {path: pipeline.check(routine, engine="walk") for path, routine in routines.items()}
    plans = {path: plan(routine, reports[path], repairs=1) for path, routine in routines.items()}
    errors = [{"path": "gone", "message": "m"}] if len(texts) > 1 else []
    file = folder / f"page{len(texts)}.html"
    file.write_text(page(reports.values(), plans, errors), "utf-8")
    return file.as_uri()


@pytest.fixture
def browser(chromium: webdriver.Chrome, address: str) -> webdriver.Chrome:
    """The page, freshly loaded on a desk."""
    chromium.set_window_size(1200, 900)
    chromium.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": []})
    chromium.get("about:blank")
    chromium.get(address)
    return chromium


def titles(browser: webdriver.Chrome) -> list[str]:
    """Return the titles of the rows that can be seen, in order."""
    rows = browser.find_elements(By.CSS_SELECTOR, "#sheets tbody tr")
    return [row.find_element(By.TAG_NAME, "a").text for row in rows if row.is_displayed()]


def switch(browser: webdriver.Chrome, verdict: str) -> WebElement:
    """Return the switch of a verdict."""
    return browser.find_element(By.CSS_SELECTOR, f"#filters button[data-verdict='{verdict}']")


def test_the_page_shows_every_sheet_and_asks_nobody(browser: webdriver.Chrome) -> None:
    """All sheets stand in the table, their text as text; nothing is fetched and nothing goes wrong."""
    assert ["Late Ferry", "Weir <b>Jig</b>", "Four Gates", "Typo", "Alder Reel", "Alder Reel"] == titles(browser)
    fetched = browser.execute_script("return performance.getEntriesByType('resource').length")
    assert (0, []) == (fetched, browser.get_log("browser"))
    assert "gone" in browser.find_element(By.CLASS_NAME, "failed").text


def test_switches_filter_by_verdict(browser: webdriver.Chrome) -> None:
    """A click on a verdict leaves its sheets, in table and below; one on a second adds its own; again takes it away."""
    switch(browser, "refuted").click()
    assert ["Late Ferry", "Weir <b>Jig</b>", "Four Gates"] == titles(browser)
    assert "3 of 6 shown" == browser.find_element(By.ID, "shown").text
    whole = browser.find_elements(By.CSS_SELECTOR, "details")
    assert [True, True, True, False, False, False] == [one.is_displayed() for one in whole]

    switch(browser, "ill-formed").click()
    assert ["Late Ferry", "Weir <b>Jig</b>", "Four Gates", "Typo"] == titles(browser)
    switch(browser, "refuted").click()
    switch(browser, "ill-formed").click()
    assert 6 == len(titles(browser))


def test_kinds_of_claim_and_words_filter_too(browser: webdriver.Chrome) -> None:
    """The list leaves the sheets in which a claim of that kind is not proved; words narrow it down, in any case."""
    kind = Select(browser.find_element(By.ID, "kind"))
    kind.select_by_value("length")
    assert ["Late Ferry"] == titles(browser)
    kind.select_by_value("")

    find = browser.find_element(By.ID, "find")
    find.send_keys("CHORUS right")
    assert ["Weir <b>Jig</b>"] == titles(browser)
    find.clear()
    find.send_keys("nowhere at all")
    assert [] == titles(browser)


def test_columns_sort_both_ways(browser: webdriver.Chrome) -> None:
    """A click on the verdict puts the refuted first, another the proved; the heading says which."""
    head = browser.find_element(By.CSS_SELECTOR, "th[data-sort='verdict']")
    head.find_element(By.TAG_NAME, "button").click()
    assert ("ascending", "Late Ferry") == (head.get_attribute("aria-sort"), titles(browser)[0])
    head.find_element(By.TAG_NAME, "button").click()
    assert ("descending", "Alder Reel") == (head.get_attribute("aria-sort"), titles(browser)[0])


def test_a_sheet_opens_from_the_table(browser: webdriver.Chrome) -> None:
    """A click on a title opens that sheet, with its finding, the table of its steps, its parts and its claims."""
    browser.find_element(By.LINK_TEXT, "Weir <b>Jig</b>").click()
    sheet = browser.find_element(By.ID, "s2")
    marked = sheet.find_element(By.CSS_SELECTOR, ".steps tr.here")

    assert "true" == sheet.get_attribute("open")
    assert "▸" in marked.text and marked.is_displayed()
    assert "front, free: left" in sheet.find_element(By.CSS_SELECTOR, ".parts").text
    assert "right foot" in sheet.find_element(By.CSS_SELECTOR, ".claims").text


def test_walls_are_drawn_as_danced(browser: webdriver.Chrome) -> None:
    """The drawing has the walls that are danced: four of the sheet that claims four and dances them, two of another."""
    for title, sheet, walls in (("Alder Reel", "s5", 4), ("Four Gates", "s3", 2)):
        browser.find_element(By.LINK_TEXT, title).click()
        drawn = browser.find_element(By.CSS_SELECTOR, f"#{sheet} .walls")

        assert drawn.is_displayed() and f"danced on {walls} walls" in drawn.text
        assert walls == len(drawn.find_elements(By.CSS_SELECTOR, "rect.wall"))
    assert "the header claims 4" in drawn.text


def test_the_strip_shows_feet_figures_and_what_is_put_right(browser: webdriver.Chrome) -> None:
    """Stretches of the dance stand side by side with shoes and words, and where a claim fails one across says so."""
    browser.find_element(By.LINK_TEXT, "Weir <b>Jig</b>").click()
    stretches = browser.find_elements(By.CSS_SELECTOR, "#s2 .strip li")

    assert [
        "1 · left free, front\nTriple ×2",
        "put right: right foot, line 5; now the right foot is free, facing front",
    ] == [one.text for one in stretches]
    assert 0 < stretches[0].find_element(By.CLASS_NAME, "shoes").size["width"]


def test_a_code_leads_to_its_page(browser: webdriver.Chrome) -> None:
    """A click on a code shows what it means, on this page; the browser's own way back leads to the sheet."""
    browser.find_element(By.LINK_TEXT, "Weir <b>Jig</b>").click()
    before = browser.current_url
    browser.find_element(By.CSS_SELECTOR, "#s2 .finding a[href='#SR502']").click()
    # A browser goes to an anchor when it next draws, not within the click.
    WebDriverWait(browser, 10).until(
        lambda shown: (
            -1 < shown.execute_script("return document.getElementById('SR502').getBoundingClientRect().top") < 700
        )
    )

    assert browser.current_url.endswith("SR502")
    browser.back()
    assert before == browser.current_url and "at=s2" in before


def test_the_address_keeps_what_is_shown(browser: webdriver.Chrome, address: str) -> None:
    """Filters, order and the sheet that is open stand in the address: another window with it shows the same."""
    switch(browser, "refuted").click()
    browser.find_element(By.ID, "find").send_keys("weir")
    browser.find_element(By.CSS_SELECTOR, "th[data-sort='findings'] button").click()
    browser.find_element(By.LINK_TEXT, "Weir <b>Jig</b>").click()
    kept = browser.current_url
    browser.get("about:blank")
    browser.get(kept)

    assert kept.startswith(f"{address}#")
    assert ["Weir <b>Jig</b>"] == titles(browser)
    assert "true" == switch(browser, "refuted").get_attribute("aria-pressed")
    assert "weir" == browser.find_element(By.ID, "find").get_property("value")
    assert "ascending" == browser.find_element(By.CSS_SELECTOR, "th[data-sort='findings']").get_attribute("aria-sort")
    assert browser.find_element(By.CSS_SELECTOR, "#s2 .strip").is_displayed()


def test_one_sheet_is_open(browser: webdriver.Chrome, tmp_path: Path) -> None:
    """The page of a single sheet shows it at once, without a table of one row."""
    browser.get(written({"weir.routine": FOOT}, tmp_path))

    assert browser.find_element(By.CSS_SELECTOR, "details .text").is_displayed()
    assert [] == browser.find_elements(By.ID, "sheets") and [] == browser.get_log("browser")


def test_the_keyboard_is_enough(browser: webdriver.Chrome) -> None:
    """A switch is pressed with the space bar, a sheet opened and shut with Enter, and a link followed with it."""
    switch(browser, "proved").send_keys(Keys.SPACE)
    assert ["Alder Reel", "Alder Reel"] == titles(browser)
    sheet = browser.find_element(By.ID, "s5")
    for is_open in (True, False, True):
        sheet.find_element(By.TAG_NAME, "summary").send_keys(Keys.ENTER)
        assert is_open is (sheet.get_attribute("open") is not None)
    sheet.find_element(By.CSS_SELECTOR, ".claims a").send_keys(Keys.ENTER)
    assert "at=s5l" in browser.current_url


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 360])
def test_no_rule_of_axe_is_broken(browser: webdriver.Chrome, axe: str, scheme: str, width: int) -> None:
    """On a desk and on a phone, in light and dark, with every sheet open, no rule finds anything."""
    device = {"width": width, "height": 740, "deviceScaleFactor": 1, "mobile": width < 400}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", device)
    scheme_of = {"name": "prefers-color-scheme", "value": scheme}
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [scheme_of]})
    try:
        browser.execute_script("document.querySelectorAll('details').forEach((one) => one.open = true)")
        browser.execute_script(axe)
        found = browser.execute_async_script("const done = arguments[0]; axe.run().then(done)")
    finally:
        browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})

    assert 30 < len(found["passes"])
    assert [] == [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]]


def test_the_rules_of_axe_find_what_is_wrong(browser: webdriver.Chrome, axe: str) -> None:
    """On the page with a pale word and a nameless button the rules name both, so that none found means none there."""
    browser.execute_script(
        "document.querySelector('h1').style.color = '#eee';"
        "document.querySelector('main').append(document.createElement('button'))"
    )
    browser.execute_script(axe)
    found = browser.execute_async_script("const done = arguments[0]; axe.run().then(done)")

    assert {"color-contrast", "button-name"} <= {one["id"] for one in found["violations"]}


def test_a_phone_shows_all_without_scrolling_sideways(browser: webdriver.Chrome) -> None:
    """On a screen of 360 points every sheet is a card, nothing stands beyond the edge, and switches fit a finger."""
    device = {"width": 360, "height": 740, "deviceScaleFactor": 2, "mobile": True}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", device)
    try:
        browser.execute_script("document.querySelectorAll('details').forEach((one) => one.open = true)")
        assert 360 >= browser.execute_script("return document.documentElement.scrollWidth")
        assert 38 <= switch(browser, "refuted").size["height"]
    finally:
        browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


def test_paper_shows_every_sheet_in_full(browser: webdriver.Chrome) -> None:
    """In print the filters are gone, and closed sheets show what is in them."""
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    browser.execute_script("dispatchEvent(new Event('beforeprint'))")

    assert not browser.find_element(By.ID, "filters").is_displayed()
    assert not browser.find_element(By.CLASS_NAME, "codes").is_displayed()
    assert all(one.is_displayed() for one in browser.find_elements(By.CSS_SELECTOR, "details .claims"))
    assert "255, 255, 255" in browser.find_element(By.TAG_NAME, "body").value_of_css_property(
        "background-color"
    ).replace("rgba(255, 255, 255, 1)", "rgb(255, 255, 255)")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_can_be_read_in_light_and_dark(browser: webdriver.Chrome, scheme: str) -> None:
    """Every colour of text has a contrast of 4.5 to 1 or more with what it stands on (WCAG 2.1, 1.4.3)."""
    browser.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-color-scheme", "value": scheme}]}
    )
    names = ("ink", "soft", "proved", "undecided", "vacuous", "refuted", "ill-formed", "note")
    style = "return getComputedStyle(document.documentElement).getPropertyValue('--' + arguments[0]).trim()"
    for ground in ("paper", "card", "tint"):
        under = luminance(browser.execute_script(style, ground))
        for name in names:
            light, dark = sorted((luminance(browser.execute_script(style, name)), under), reverse=True)
            assert 4.5 <= (light + 0.05) / (dark + 0.05), (scheme, ground, name)


def luminance(colour: str) -> float:
    """Return the relative luminance of `#rrggbb`, as WCAG 2.1 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_page_reads_without_scripts(address: str) -> None:
    """Every finding and every sheet stands in the text of the page itself."""
    text = Path(address.removeprefix("file://")).read_text("utf-8")

    assert 6 == text.count("<details")
    assert "Weir &lt;b&gt;Jig&lt;/b&gt;" in text
    assert "there is no figure or part" in text
