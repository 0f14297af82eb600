"""The bench page by touch, in a real browser: from no file to the worksheet; what wet hands and a bad network do."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.phone.browser import Browser
from tests.phone.served import Command, Served


@pytest.fixture
def page(browser: Browser, tmp_path: Path) -> Iterator[Served]:
    """The page of a job with one reading, and the browser let in."""
    yield from _served(browser, Served(tmp_path / "heads.toml"))


@pytest.fixture
def new_page(browser: Browser, tmp_path: Path) -> Iterator[Served]:
    """That of a job that is not there yet, looked at once before: that spends no code."""
    page = Served(tmp_path / "heads.toml", "")
    browser.open(page.address(f"enter/{page.code}"))
    yield from _served(browser, page)


@pytest.fixture
def command(browser: Browser, tmp_path: Path) -> Iterator[Command]:
    """The page as its command serves it."""
    yield from _served(browser, Command(tmp_path / "heads.toml"))


def _served(browser: Browser, page: Any) -> Iterator[Any]:
    browser.let_in(page)
    yield page
    page.end()


def test_heads_from_no_file_to_the_worksheet(browser: Browser, new_page: Served) -> None:
    page = new_page
    browser.sees("What is it for?")
    browser.post("heads to be cc'd")
    browser.type("2")
    browser.post("Save")
    browser.post("burette or syringe read before and after")
    browser.post("burette 50 ml class B")
    browser.sees("Thin grease ring")
    browser.post("Start")
    browser.type("0.1", "46.2")
    browser.post("Save")
    assert page.ends == ["46.2 cc"]
    for said, answer in (
        ("Which fluid", "light oil"),
        ("Temperature of the fluid", "Not said"),
        ("running plug", "fitted"),
        ("plate's hole", "not filled"),
        ("Grease film", "Not said"),
        ("State of the head", "as received"),
    ):
        browser.sees(said)
        browser.post(answer)
    for number, end in enumerate(("46.3", "46.4", "46.1", "46.2", "46.3"), start=2):
        browser.sees("Save")
        browser.type("0.1", end)
        browser.post("Save")
        assert len(page.ends) == number
        if number % 3 == 0:
            browser.post("Next")
    browser.sees("one value, a range, at least … or at most …")
    browser.tap("abc")
    assert browser.asks("return document.activeElement.inputMode") == "text"
    browser.keys("at least 45 cc\n")
    browser.sees("Everything asked for is there")
    paper = "fetch(document.querySelector('a[href*=worksheet]').href).then(a => a.text()).then(arguments[0])"
    assert browser.driver.execute_async_script(paper).startswith("%PDF")
    browser.post("Finish")
    browser.sees("6 readings")


def test_a_double_tap_is_one_reading(browser: Browser, page: Served) -> None:
    browser.type("0.2", "46.3")
    browser.tap_twice("Save")
    browser.sees("2 of 3")
    browser.post("Save")
    browser.sees("Nothing is typed")
    assert page.ends == ["46.2 cc", "46.3 cc"]
    assert browser.focus == "v-start"


def test_back_shows_what_is_saved_and_saves_nothing_twice(browser: Browser, page: Served) -> None:
    browser.type("0.2", "46.3")
    browser.post("Save")
    browser.tap("More")
    browser.sees("Take along")
    browser.driver.back()
    browser.sees("2 of 3")
    browser.post("Save")
    assert page.ends == ["46.2 cc", "46.3 cc"]


def test_of_two_tabs_the_older_one_saves_nothing_unseen(browser: Browser, page: Served) -> None:
    browser.type("0.3", "46.9")
    first = browser.driver.current_window_handle
    browser.driver.switch_to.new_window("tab")
    browser.size((360, 560))
    browser.open(page.address("read"))
    browser.type("0.2", "46.3")
    browser.post("Save")
    browser.driver.switch_to.window(first)
    browser.post("Save")
    browser.sees("is not saved")
    assert page.ends == ["46.2 cc", "46.3 cc"]
    browser.post("Save it")
    browser.sees("3 of 3")
    assert page.ends == ["46.2 cc", "46.3 cc", "46.9 cc"]


def test_a_hand_edit_stays_and_what_was_typed_is_shown_beside_it(browser: Browser, page: Served) -> None:
    browser.type("0.2", "46.3")
    page.path.write_text(page.path.read_text() + "# by hand\n")
    browser.post("Save")
    browser.sees("is not saved")
    assert page.ends == ["46.2 cc"]
    browser.post("Drop it")
    browser.sees("1 of 3")
    assert page.path.read_text().endswith("# by hand\n")


def test_a_restart_asks_for_a_new_code_and_finds_what_was_not_taken(browser: Browser, page: Served) -> None:
    browser.type("0.2", "46.3")
    page.path.write_text(page.path.read_text() + "# by hand\n")
    browser.post("Save")
    browser.sees("is not saved")
    page.forget()
    browser.let_in(page)
    browser.sees("start 0.2, end 46.3 was typed for chamber 1 and is not saved")
    browser.type("0.2", "46.4")  # which is another one
    browser.post("Save")
    page.forget()
    browser.let_in(page)
    browser.sees("is not saved")
    browser.post("Save it")
    browser.sees("3 of 3")
    assert page.ends == ["46.2 cc", "46.4 cc", "46.3 cc"]
    assert browser.asks("return localStorage.length") == 0


def test_without_a_network_the_value_is_kept_and_sent_once_with_its_minute(browser: Browser, page: Served) -> None:
    browser.network(False)
    browser.type("0.2", "46.3")
    browser.tap("Save")
    browser.sees("Kept on this device, and sent once it is back: start 0.2, end 46.3")
    assert page.ends == ["46.2 cc"]
    browser.asks(
        "const kept = JSON.parse(localStorage.kept); kept[0].typed -= 4.2e5; localStorage.kept = JSON.stringify(kept)"
    )
    browser.network(True)
    browser.sees("2 of 3")
    assert page.ends == ["46.2 cc", "46.3 cc"]
    assert browser.asks("return localStorage.length") == 0
    late = datetime.now() - timedelta(minutes=7)
    assert page.rows[-1]["time"] in {f"{one:%H:%M}" for one in (late, late - timedelta(minutes=1))}


@pytest.mark.parametrize("saved", [False, True])
def test_a_power_cut_before_or_after_saving_loses_nothing_and_doubles_nothing(
    browser: Browser, command: Command, saved: bool
) -> None:
    page = command
    if saved:  # the answer is lost on its way
        browser.asks("const there = fetch; fetch = async (...said) => { await there(...said); throw new TypeError(); }")
    else:
        page.kill()
    browser.type("0.2", "46.3")
    browser.tap("Save")
    browser.sees("Kept on this device")
    if saved:
        page.kill()
    assert len(page.ends) == 1 + saved
    page.start()
    browser.let_in(page)
    if saved:
        browser.sees("is not saved")
        browser.post("Drop it")
    browser.sees("2 of 3")
    assert page.ends == ["46.2 cc", "46.3 cc"]


def test_without_a_script_forms_and_redirects_do(browser: Browser, page: Served) -> None:
    browser.scripts(False)
    browser.open(page.address("read"))
    browser.one("#v-start").send_keys("0.2")
    browser.one("#v-end").send_keys("46.3\n")
    browser.sees("2 of 3")
    browser.post("Undo")
    browser.sees("1 of 3")
    browser.tap("Save")
    browser.sees("Nothing is typed")
    browser.one("#v-start").send_keys("0.2")
    browser.one("#v-end").send_keys("46.4")
    browser.tap_twice("Save")
    browser.sees("2 of 3")
    assert page.ends == ["46.2 cc", "46.4 cc"]


def test_the_keyboard_alone_reads_takes_back_and_sets_aside(browser: Browser, page: Served) -> None:
    assert browser.focus == "v-start"
    browser.keys("0.2\n", "46.3\n")
    browser.sees("2 of 3")
    assert page.ends == ["46.2 cc", "46.3 cc"]
    assert browser.focus == "v-start"
    browser.keys("0.2\n", "46.9\n")
    browser.sees("3 of 3")
    live = browser.one("#said")
    browser.press_until("Set aside")
    browser.sees("Why does it not count?")
    browser.keys("saw a bubble\n")
    browser.sees("2 of 3")
    assert page.rows[-1]["set_aside"] == "saw a bubble"
    assert "saw a bubble" in str(live.get_property("textContent"))  # the same element: what it says next is read out


def test_one_device_writes_and_the_others_look_on(browser: Browser, page: Served) -> None:
    browser.open(page.address("more"))
    own = browser.driver.get_cookies()
    browser.driver.delete_all_cookies()
    browser.open(page.address(f"enter/{page.another_code()}"))
    browser.post("Look on")
    browser.sees("looks on")
    first, page.door.writer = page.door.writer, next(one for one in page.door.devices if one != page.door.writer)
    browser.sees("burette at the start")  # it asks again by itself
    page.door.writer = first
    browser.open(page.address("read"))
    browser.sees("looks on")
    other = browser.driver.get_cookies()
    browser.driver.delete_all_cookies()
    browser.driver.add_cookie(own[0])
    browser.open(page.address("read"))
    browser.type("0.2", "46.3")
    browser.post("Save")
    browser.driver.delete_all_cookies()
    browser.driver.add_cookie(other[0])
    browser.open(page.address("read"))
    browser.sees("2 of 3")
    browser.tap("Write from here")
    browser.type(page.another_code())
    browser.post("Write from here")
    browser.type("0.2", "46.4")
    browser.post("Save")
    assert page.ends == ["46.2 cc", "46.3 cc", "46.4 cc"]
