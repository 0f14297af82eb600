"""A device at the bench page, script off: it gets pages, fills in their forms, posts them, goes where it is sent.

No server and no library of a client: requests go to the ASGI app as a server would hand them over (ASGI 3.0).
"""

from __future__ import annotations

import asyncio
import datetime
import tomllib
from collections.abc import Sequence
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlencode

from ccassist.job.write import JobFile
from ccassist.phone.app import Bench
from ccassist.phone.door import FORM, Door
from ccassist.phone.sitting import Sitting

HOST = "127.0.0.1:8717"
NOON = datetime.datetime(2026, 11, 3, 12, 0)


class Answer(NamedTuple):
    """What came back."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def text(self) -> str:
        """The page."""
        return self.body.decode("utf-8")


class Form(NamedTuple):
    """A form of a page: where it goes, its fields, its buttons."""

    action: str
    fields: dict[str, str]
    buttons: list[tuple[str, str]]


class _Forms(HTMLParser):
    """The forms of a page, radio buttons only where they are on."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.forms: list[Form] = []  # the one that is open
        self.done: list[Form] = []
        self.feed(page)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.done.append(self.forms.pop())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(Form(said.get("action", ""), {}, []))
        elif self.forms and tag == "input" and "name" in said and (said.get("type") != "radio" or "checked" in said):
            self.forms[-1].fields[said["name"]] = said.get("value", "")
        elif tag == "button" and self.forms and "name" in said:
            self.forms[-1].buttons.append((said["name"], said.get("value", "")))


def forms_of(page: str) -> list[Form]:
    """The forms of a page, in order."""
    return _Forms(page).done


class Shop:
    """A job behind the page, with the clock stopped, and what the terminal was told."""

    def __init__(self, path: Path, text: str | None = None) -> None:
        if text is not None:
            path.write_text(text, encoding="utf-8")
        self.path, self.printed, self.now, self.seconds = path, [], NOON, 0.0
        self.file = JobFile.open(path, new=True)
        self.sitting = Sitting(self.file, clock=lambda: self.now, tell=self.printed.append)
        self.door = Door([HOST], 8717, clock=lambda: self.seconds)
        self.faults: list[Exception] = []
        self.bench = Bench(self.sitting, self.door, fault=self.faults.append)
        self.app = self.bench.asgi()

    printed: list[str]

    def device(self, *, write: bool = False) -> Device:
        """Another browser that was let in."""
        one = Device(self)
        one.post("/enter", {"code": self.door.new_code(), "write": "yes" if write else "no"})
        return one

    @property
    def rows(self) -> list[dict[str, Any]]:
        """All readings on the disk, in order."""
        series = tomllib.loads(self.path.read_text(encoding="utf-8")).get("series", [])
        return [row for block in series for row in block["readings"]]

    def ask(
        self,
        method: str,
        path: str,
        headers: Sequence[tuple[str, str]],
        body: bytes | Sequence[bytes] = b"",
        *,
        stuck: bool = False,
    ) -> Answer:
        """One request; a body in pieces comes in pieces, the last of them never where it is ``stuck``."""
        left = [body] if isinstance(body, bytes) else list(body)
        return asyncio.run(self._ask(method, path, headers, left, stuck=stuck))

    async def _ask(
        self, method: str, path: str, headers: Sequence[tuple[str, str]], left: list[bytes], *, stuck: bool
    ) -> Answer:
        said: list[dict[str, Any]] = []

        async def receive() -> dict[str, Any]:
            if not left:
                return {"type": "http.disconnect"}
            if stuck and len(left) == 1:
                await asyncio.sleep(60)
            return {"type": "http.request", "body": left.pop(0), "more_body": bool(left)}

        async def send(message: Any) -> None:
            said.append(message)

        raw = [(name.encode("latin-1"), value.encode("latin-1")) for name, value in headers]
        scope = {"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method, "scheme": "http"}
        at = {"path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "", "headers": raw}
        ends = {"client": ("127.0.0.1", 50000), "server": ("127.0.0.1", 8717), "state": {}}
        await self.app({**scope, **at, **ends}, receive, send)
        head = {name.decode("latin-1").lower(): value.decode("latin-1") for name, value in said[0]["headers"]}
        return Answer(said[0]["status"], head, b"".join(message.get("body", b"") for message in said[1:]))


class Device:
    """One browser: its cookie, and the page that it shows."""

    def __init__(self, shop: Shop) -> None:
        self.shop, self.cookie, self.page = shop, "", ""

    def get(self, path: str = "/") -> Answer:
        """Get a page and go where it sends."""
        return self._followed(self.shop.ask("GET", path, [("host", HOST), *self._cookie()]))

    def post(self, path: str, fields: dict[str, str], *more: tuple[str, str]) -> Answer:
        """Post a form and go where it sends."""
        head = [("host", HOST), ("origin", f"http://{HOST}"), ("content-type", FORM), *self._cookie(), *more]
        return self._followed(self.shop.ask("POST", path, head, urlencode(fields).encode()))

    def _cookie(self) -> list[tuple[str, str]]:
        return [("cookie", self.cookie)] if self.cookie else []

    def _followed(self, answer: Answer) -> Answer:
        if "set-cookie" in answer.headers:
            self.cookie = answer.headers["set-cookie"].partition(";")[0]
        if answer.status == 303:
            return self.get(answer.headers["location"])
        if answer.headers.get("content-type", "").startswith("text/html"):
            self.page = answer.text
        return answer

    def form(self, do: str, **values: str) -> dict[str, str]:
        """What a tap on a button would post, with what is typed into its form; ``text`` chooses among its like."""
        for form in forms_of(self.page):
            if ("do", do) in form.buttons and ("text" not in values or form.fields.get("text") == values["text"]):
                return {**form.fields, "do": do, **{name.replace("__", "."): text for name, text in values.items()}}
        raise AssertionError(f"no button {do} {values} on:\n{self.page}")

    def tap(self, do: str, **values: str) -> Answer:
        """Tap a button."""
        return self.post("/do", self.form(do, **values))

    def type(self, **values: str) -> Answer:
        """Type values into their fields and save."""
        return self.tap("save", **{f"v__{name}": text for name, text in values.items()})
