"""A browser that is told what a thumb would do, and asked what an eye would see."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from typing import Any

from selenium.common.exceptions import StaleElementReferenceException, TimeoutException, WebDriverException
from selenium.webdriver import ActionChains, Chrome, ChromeOptions, Keys
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.wait import WebDriverWait

from tests.phone.served import Readings

BROWSERS = ("chromium", "chromium-browser", "google-chrome")
QUIET = (
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE, LYING, LARGE, TABLET = (360, 560), (560, 360), (412, 915), (1180, 820)
SIZES = (PHONE, LYING, LARGE, TABLET)
# The keys of the keypad by what they write; the first way that bears these words on a line and can be seen.
KEYPAD = "return Object.fromEntries([...document.querySelectorAll('[data-key]')].map(e => [e.dataset.key, e]))"
WAY = """
const [words] = arguments;
const bears = (e) => e.innerText.split("\\n").some((line) => line.trim() === words);
const seen = (e) => e.checkVisibility({ visibilityProperty: true }) && e.getClientRects().length;
return [...document.querySelectorAll("button, a, label")].find((e) => seen(e) && bears(e)) ?? null;
"""
PATIENCE = 10.0  # s for what is waited for; longer than any machine needs
ANOTHER = "const screen = document.querySelector('#screen'); return Boolean(screen) && !screen.left"
AXE = Path(__file__).parent / "axe" / "axe.min.js"


class Browser:
    """One browser."""

    def __init__(self, program: Path, driver: Path, profile: Path, *, root: bool) -> None:
        options = ChromeOptions()
        options.binary_location = str(program)
        for said in (*QUIET, f"--user-data-dir={profile}", *(("--no-sandbox",) if root else ())):
            options.add_argument(said)
        self.driver = Chrome(options=options, service=Service(executable_path=str(driver)))

    @classmethod
    def here(cls, profile: Path) -> Browser | None:
        """With the Chromium and the driver of this machine; nothing where there is none."""
        driver, program = shutil.which("chromedriver"), next(filter(None, map(shutil.which, BROWSERS)), None)
        if driver is None or program is None:
            return None
        return cls(Path(program), Path(driver), profile, root=os.geteuid() == 0)

    def quit(self) -> None:
        """The end of it."""
        self.driver.quit()

    # -- how it looks on ---------------------------------------------------------------
    def fresh(self) -> None:
        """Without a past, on a small phone."""
        for other in self.driver.window_handles[1:]:
            self.driver.switch_to.window(other)
            self.driver.close()
        self.driver.switch_to.window(self.driver.window_handles[0])
        self.network(True)
        self.scripts(True)
        self.driver.get("about:blank")
        self._tell("Storage.clearDataForOrigin", origin="*", storageTypes="all")
        self._tell("Network.clearBrowserCookies")
        self.size(PHONE)

    def size(self, size: tuple[int, int], *, dark: bool = False) -> None:
        """A screen of that many points, wide and high."""
        wide, high = size
        self._tell("Emulation.setDeviceMetricsOverride", width=wide, height=high, deviceScaleFactor=1, mobile=True)
        scheme = {"name": "prefers-color-scheme", "value": "dark" if dark else "light"}
        self._tell("Emulation.setEmulatedMedia", features=[scheme])

    def network(self, there: bool) -> None:
        """Whether there is one."""
        self._tell("Network.enable")
        self._tell(
            "Network.emulateNetworkConditions", offline=not there, latency=0, downloadThroughput=-1, uploadThroughput=-1
        )

    def scripts(self, run: bool) -> None:
        """Whether a page's script runs."""
        self._tell("Emulation.setScriptExecutionDisabled", value=not run)

    def _tell(self, command: str, **said: object) -> Any:
        return self.driver.execute_cdp_cmd(command, said)

    def let_in(self, page: Readings) -> None:
        """By the page that the picture opens: its button spends the code."""
        self.open(page.address(f"enter/{page.code}"))
        self.post("Start")

    # -- what a thumb does -------------------------------------------------------------
    def open(self, address: str) -> None:
        """Go there."""
        self.driver.get(address)

    def tap(self, words: str) -> None:
        """Tap what is called so; where the page was drawn anew in between, tap the new one."""
        self._wait(lambda d: self.found(words).click() is None, words, StaleElementReferenceException)

    def tap_twice(self, words: str) -> None:
        """Tap it twice, as fast as it goes: the second tap hits whatever stands there by then."""
        ActionChains(self.driver, duration=0).double_click(self.found(words)).perform()

    def post(self, words: str) -> None:
        """Tap what is called so, and wait for the screen that answers it."""
        self.one("#screen")
        self.asks("document.querySelector('#screen').left = true")
        self.tap(words)
        self._wait(lambda d: self.asks(ANOTHER), f"after {words}: another screen")

    def type(self, *texts: str) -> None:
        """Type into the fields of the page one after another, by the keypad, in place of what stands there."""
        for number, text in enumerate(texts):
            field = self.one(f".field:nth-child({number + 1}) input")
            field.clear()
            taps, keys = ActionChains(self.driver, duration=0).click(field), self.asks(KEYPAD)
            for letter in text:
                taps.click(keys[letter])
            taps.perform()

    def keys(self, *texts: str) -> None:
        """The keyboard alone, into whatever has the focus; "\\t" and "\\n" are its keys."""
        at = self.driver.switch_to.active_element
        for text in texts:
            at.send_keys(text.replace("\t", Keys.TAB).replace("\n", Keys.ENTER))
            at = self.driver.switch_to.active_element

    def press_until(self, words: str) -> None:
        """The tabulator until what is called so has the focus, then Enter."""
        for _ in range(30):
            at = self.driver.switch_to.active_element
            if at.text == words:
                at.send_keys(Keys.ENTER)
                return
            at.send_keys(Keys.TAB)
        raise AssertionError(f"the keyboard never comes to {words}")

    # -- what an eye sees --------------------------------------------------------------
    def one(self, what: str) -> WebElement:
        """The first element, once it is there."""
        return self._wait(lambda d: d.find_element(By.CSS_SELECTOR, what), what)

    def found(self, words: str) -> WebElement:
        """The button or way that is called so, once it can be seen."""

        found: WebElement = self._wait(lambda d: d.execute_script(WAY, words), words)
        return found

    def sees(self, words: str) -> str:
        """All that stands on the screen, once these words do."""
        self._wait(lambda d: words in self.text, words)
        return self.text

    @property
    def text(self) -> str:
        """All that stands on the screen."""
        return str(self.driver.execute_script("return document.body.innerText"))

    @property
    def focus(self) -> str:
        """What has it."""
        return str(self.asks("return document.activeElement.id"))

    def _wait(self, what: Any, named: str, meanwhile: type[WebDriverException] = WebDriverException) -> Any:
        # A page that goes while it is asked ends the question in more than one way: ask the next page.
        wait = WebDriverWait(self.driver, PATIENCE, 0.02, (meanwhile,))
        try:
            return wait.until(what)
        except TimeoutException:
            raise AssertionError(f"{named!r} is not on:\n{self.text}") from None

    def asks(self, script: str) -> Any:
        """What a script finds on the page."""
        return self.driver.execute_script(script)

    def violations(self) -> list[str]:
        """What the accessibility checker finds, for WCAG A and AA and for good practice, in a line each."""
        if not self.asks("return Boolean(window.axe)"):
            self._tell("Runtime.evaluate", expression=AXE.read_text(encoding="utf-8"))
        found = self.driver.execute_async_script("axe.run().then(r => arguments[0](r.violations))")
        return [f"{one['id']}: {node['html'][:120]}" for one in found for node in one["nodes"]]
