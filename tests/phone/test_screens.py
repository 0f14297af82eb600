"""Every screen of the bench page, in sizes from a small phone to a tablet, both ways round, light and dark."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.phone.browser import LARGE, LYING, PHONE, SIZES, Browser
from tests.phone.served import HEADS, Served

LOOKED_AT = (Path(__file__).parent / "looked_at.js").read_text(encoding="utf-8")
SHOWN = ":checked + .sheet .pieces *:not(svg *)"
FIRST = HEADS[HEADS.index("[[series]]") :]
MORE = """readings = [
    { start = "0.1 cc", end = "46.4 cc" },
    { start = "0.1 cc", end = "46.1 cc", set_aside = "saw a bubble" },"""
EIGHT = HEADS.replace("cylinders = 3", "cylinders = 12").replace("readings = [", MORE) + "".join(
    FIRST.replace("cylinder = 1", f"cylinder = {n}").replace("46.2", f"{46 + n / 7:.1f}") for n in range(2, 9)
)


def faults(browser: Browser, name: str, *, new: bool = True) -> list[str]:
    """What an eye and the accessibility checker find wrong, in each size, light and dark.

    Of a sheet where nothing is ``new`` but its words: whether a small phone holds it, both ways round.
    """
    found = []
    for size in SIZES if new else (PHONE, LYING):
        for dark in (False, True) if new and size == PHONE else (size == LARGE,):
            browser.size(size, dark=dark)
            key = 48 if size == LYING else 56
            said = browser.driver.execute_script(LOOKED_AT, key)
            found += [f"{name}, {size[0]} × {size[1]}{', dark' if dark else ''}: {one}" for one in said]
    browser.size(PHONE)
    return [*found, *(f"{name}: {one}" for one in (browser.violations() if new else []))]


@pytest.fixture
def eight(browser: Browser, tmp_path: Path) -> Iterator[Served]:
    """A job of twelve chambers, eight of them read, and the browser not let in yet."""
    page = Served(tmp_path / "heads.toml", EIGHT)
    yield page
    page.end()


def test_the_questions_of_a_new_job(browser: Browser, tmp_path: Path) -> None:
    page = Served(tmp_path / "heads.toml", "")
    browser.open(page.address("enter"))
    found = faults(browser, "the code")
    browser.let_in(page)
    found += faults(browser, "what for")
    browser.post("heads to be cc'd")
    found += faults(browser, "how many")
    browser.type("8")
    browser.post("Save")
    found += faults(browser, "how it is read")
    browser.post("burette or syringe read before and after")
    found += faults(browser, "which tool")
    browser.tap("More of them")
    found += faults(browser, "the rest of the tools")
    browser.tap("▸")
    browser.tap("◂")
    browser.post("burette 10 ml class A")
    found += faults(browser, "how it is done")
    browser.tap("1 of 2 ▸")
    found += faults(browser, "how it is done, the rest")
    browser.post("Start")
    found += faults(browser, "the first reading")
    page.end()
    assert not found, "\n".join(found)


def test_readings_and_what_is_said_of_them(browser: Browser, eight: Served) -> None:
    browser.let_in(eight)
    browser.open(eight.address("read"))
    found = faults(browser, "coming to a cylinder")
    browser.type("0.1", "46.3")
    browser.post("Save")
    found += faults(browser, "a reading saved")
    browser.type("0.1", "99")
    browser.post("Save")
    found += faults(browser, "a reading refused")
    browser.type("0.1", "37.2")
    browser.post("Save")
    found += faults(browser, "a reading in doubt")
    browser.post("Ask again")
    browser.type("0.1")
    browser.post("Save")
    found += faults(browser, "half a reading")
    eight.path.write_text(eight.path.read_text() + "# by hand\n")
    browser.type("", "46.7")
    browser.post("Save")
    found += faults(browser, "a reading kept")
    browser.post("Drop it")
    browser.post("Set aside")
    found += faults(browser, "why it does not count")
    assert not found, "\n".join(found)


def test_signs_and_three_fields(browser: Browser, eight: Served) -> None:
    browser.let_in(eight)
    browser.tap("More")
    browser.tap("▸")
    browser.tap("▸")
    browser.post("Deck clearance")
    browser.post("front and rear on the pin axis")
    browser.post("Not said")
    browser.sees("Start")
    browser.post("Start")
    found = faults(browser, "signs and units")
    assert not found, "\n".join(found)


def test_what_there_is_to_look_at(browser: Browser, eight: Served) -> None:
    browser.let_in(eight)
    browser.tap("More")
    sheets = len(browser.driver.find_elements("css selector", ".sheet"))
    found: list[str] = []
    kinds: set[str] = set()
    for number in range(1, sheets + 1):
        made = str(browser.asks(f"return [...document.querySelectorAll({SHOWN!r})].map(e => e.tagName).join()"))
        found += faults(browser, f"sheet {number} of {sheets}", new=not set(made.split(",")) <= kinds)
        kinds |= set(made.split(","))
        browser.tap("▸")
    browser.tap("◂")
    browser.tap("▸")
    browser.post("Finish")
    found += faults(browser, "finished")
    assert sheets > 6
    assert not found, "\n".join(found)


def test_a_device_that_looks_on(browser: Browser, eight: Served) -> None:
    browser.let_in(eight)
    browser.driver.delete_all_cookies()
    browser.open(eight.address(f"enter/{eight.another_code()}"))
    found = faults(browser, "a second device")
    browser.post("Look on")
    found += faults(browser, "looking on")
    assert not found, "\n".join(found)
