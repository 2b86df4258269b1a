"""A browser for the tests of pages."""

import shutil
import subprocess
from collections.abc import Iterator

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
)


@pytest.fixture(scope="module")
def chromium(tmp_path_factory: pytest.TempPathFactory) -> Iterator[webdriver.Chrome]:
    """A browser with an empty profile; a machine without one can't run these tests, and says so."""
    browser, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if not browser or not driver:
        pytest.fail("these tests need Debian's packages chromium and chromium-driver: apt-get install them")
    options = webdriver.ChromeOptions()
    options.binary_location = browser
    for flag in (*FLAGS, f"--user-data-dir={tmp_path_factory.mktemp('profile')}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL"})
    made = webdriver.Chrome(options=options, service=Service(driver))
    try:
        yield made
    finally:
        made.quit()


@pytest.fixture(scope="module")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The rules of axe-core, fetched with npm."""
    folder, npm = tmp_path_factory.mktemp("npm"), shutil.which("npm")
    if npm is None:
        pytest.skip("no npm here, so the page is not held against the rules of axe-core")
    words = [npm, "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", str(folder), "axe-core@4"]
    try:
        subprocess.run(words, capture_output=True, check=True, timeout=120, cwd=folder)
    except (subprocess.CalledProcessError, subprocess.TimeoutExpired) as error:
        pytest.skip(f"npm can't fetch axe-core, so the page is not held against its rules: {error}")
    return (folder / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")
