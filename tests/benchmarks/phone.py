"""The bench page's speed, as ratios measured in one run on one machine.

Run from the project's folder, in an environment with the package installed:

    python -m tests.benchmarks.phone [RUNS]

A reading posted to the page, until the page that shows it is there, against the same reading taken and saved by the
terminal's front; the page until its last byte, and in a browser until its first paint, against a bare page of the same
framework; Ctrl-C until the process is gone.  The eight-cylinder job of the other benchmarks, with 200 readings; server
and client are two processes.
"""

from __future__ import annotations

import datetime
import http.client
import re
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from urllib.parse import urlencode

from ccassist.guide.keeping import post
from ccassist.guide.step import begin
from ccassist.guide.view import Action
from ccassist.job.write import JobFile
from ccassist.phone.door import FORM
from tests.benchmarks.budgets import eight_cylinders
from tests.phone.browser import PHONE, Browser
from tests.phone.page import forms_of

PLACE = "chamber 3"
BARE = """
import sys, uvicorn
from starlette.applications import Starlette
from starlette.responses import HTMLResponse
from starlette.routing import Route
async def page(_): return HTMLResponse("<!doctype html><title>bare</title><p>bare</p>")
uvicorn.run(Starlette(routes=[Route("/", page)]), port=int(sys.argv[1]), log_level="critical")
"""
PAINT = """
const first = (list) => list.getEntriesByName("first-contentful-paint").map((one) => arguments[0](one.startTime));
new PerformanceObserver(first).observe({ type: "paint", buffered: true });
"""
SERVE = """
import sys
from pathlib import Path
from ccassist.job.write import JobFile
from ccassist.phone.serve import Listening, serve
with JobFile.open(Path(sys.argv[1])) as file:
    serve(file, Listening(port=int(sys.argv[2])), lambda text: print(text, flush=True))
"""


def reading(number: int) -> tuple[str, str]:
    """A fill, never twice the same."""
    return f"{0.05 * (number % 5):.2f}", f"{52.9 + 0.05 * (number % 7):.2f}"


def terminal(path: Path, runs: int) -> float:
    """Median of a reading taken and saved as the terminal does."""
    took = []
    with JobFile.open(path) as file:
        state, _ = begin(file.text, str(path), step="chamber", cylinder=3)
        for number in range(runs + 1):
            start = time.perf_counter()
            line = ", ".join(f"{f.name}={text}" for f, text in zip(state.fields, reading(number), strict=False))
            state, shown = post(state, Action.SAY, line, file, now=datetime.datetime.now())
            took.append(time.perf_counter() - start)
            assert shown.effects, shown.lines
    return statistics.median(took[1:])


class Client:
    """A device on one connection that stays."""

    def __init__(self, port: int) -> None:
        self.host, self.cookie, self.page, self.port = f"127.0.0.1:{port}", "", "", port
        self.wire = http.client.HTTPConnection("127.0.0.1", port)

    def ask(self, method: str, path: str, fields: dict[str, str] | None = None) -> None:
        """One request, and where it sends."""
        head = {"Host": self.host, "Origin": f"http://{self.host}", "Content-Type": FORM, "Cookie": self.cookie}
        self.wire.request(method, path, urlencode(fields or {}) or None, head)
        answer = self.wire.getresponse()
        self.page = answer.read().decode()
        self.cookie = (answer.getheader("set-cookie") or self.cookie).partition(";")[0]
        if answer.status == 303:
            self.ask("GET", str(answer.getheader("location")))

    def form(self, do: str) -> dict[str, str]:
        """The fields of the form with a button, tapped."""
        return {**next(form.fields for form in forms_of(self.page) if ("do", do) in form.buttons), "do": do}


def served(path: Path, port: int) -> tuple[subprocess.Popen[str], Client]:
    """The page in a process of its own, and a device that was let in."""
    process = subprocess.Popen([sys.executable, "-c", SERVE, str(path), str(port)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    code = next(found[1] for line in process.stdout if (found := re.search(r"Code (\d{4} \d{4})", line)))
    client = Client(port)
    client.ask("POST", "/enter", {"code": code})
    client.ask("GET", "/read")
    return process, client


def paged(client: Client, runs: int) -> float:
    """Median of a reading posted, until the page that shows it is there."""
    some = next(form.fields for form in forms_of(client.page) if "stamp" in form.fields)
    client.ask("POST", "/do", {**some, "do": "jump", "text": PLACE})
    client.ask("GET", "/read")
    took = []
    for number in range(runs + 1):
        form = client.form("save")
        names = [name for name in form if name.startswith("v.")]
        start = time.perf_counter()
        client.ask("POST", "/do", {**form, **dict(zip(names, reading(number), strict=False))})
        took.append(time.perf_counter() - start)
        assert "Saved" in client.page
    return statistics.median(took[1:])


def shown(client: Client, path: str, runs: int) -> float:
    """Median of a page got."""
    took = []
    for _ in range(runs + 1):
        start = time.perf_counter()
        client.ask("GET", path)
        took.append(time.perf_counter() - start)
    return statistics.median(took[1:])


def painted(client: Client, bare: int, runs: int) -> tuple[float, float]:
    """Medians of the time to the first paint of the page, and of the bare one, turn and turn about."""
    browser = Browser.here(Path(tempfile.mkdtemp()))
    assert browser is not None, "no Chromium with its driver here"
    addresses = (f"http://{client.host}/read", f"http://127.0.0.1:{bare}/")
    browser.size(PHONE)
    browser.open(addresses[0])
    name, _, value = client.cookie.partition("=")
    browser.driver.add_cookie({"name": name, "value": value})
    took: dict[str, list[float]] = {address: [] for address in addresses}
    for _ in range(runs + 1):
        for address in addresses:
            browser.open(address)
            took[address].append(browser.driver.execute_async_script(PAINT) / 1000)
    browser.quit()
    mine, theirs = (statistics.median(took[address][1:]) for address in addresses)
    return mine, theirs


def main(runs: int = 9) -> None:
    """Print the table."""
    folder = Path(tempfile.mkdtemp())
    job = eight_cylinders(folder)
    mine = terminal(job, runs)
    process, client = served(eight_cylinders(folder), 8791)
    page = paged(client, runs)
    first = shown(client, "/read", runs)
    bare = subprocess.Popen([sys.executable, "-c", BARE, "8792"])
    time.sleep(3)
    least = shown(Client(8792), "/", runs)
    paint, least_paint = painted(client, 8792, runs)
    bare.send_signal(signal.SIGINT)
    bare.wait()
    start = time.perf_counter()
    process.send_signal(signal.SIGINT)
    process.wait()
    ended = time.perf_counter() - start
    rows = (
        ("post to page, against the terminal's saving step", page, 3 * mine),
        ("page, against a bare page + 60 ms", first, least + 0.06),
        ("first paint, against that of a bare page + 60 ms", paint, least_paint + 0.06),
        ("Ctrl-C to the end", ended, 2.0),
    )
    for name, took, budget in rows:
        verdict = "met" if took <= budget else "OVER"
        print(f"{name:<52} {1000 * took:7.1f} ms  of {1000 * budget:7.1f} ms  {verdict}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 9)
