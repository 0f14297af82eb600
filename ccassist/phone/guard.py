"""What a request must look like before anything is done with it, and the headers of every answer."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from starlette.responses import Response
from starlette.types import Message, Receive, Scope, Send

from ccassist.phone.door import HEADERS, LARGEST, Door

BODY_WITHIN, ANSWER_WITHIN = 5.0, 30.0  # s
FORM = "application/x-www-form-urlencoded"


class Refused(Exception):
    """A request that is not answered: its status and why."""

    def __init__(self, status: int, why: str) -> None:
        super().__init__(why)
        self.status, self.why = status, why


class Guard:
    """Around the app: host and origin, length and time of a body, time of an answer, and the headers of all answers."""

    def __init__(self, app: Callable[[Scope, Receive, Send], Awaitable[None]], door: Door) -> None:
        self.app, self.door = app, door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            return
        begun = False

        async def headed(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                kept = [(name, value) for name, value in message["headers"] if name.decode() not in HEADERS]
                message = {**message, "headers": [*kept, *((k.encode(), v.encode()) for k, v in HEADERS.items())]}
            await send(message)

        try:
            check_headers(scope, self.door.hosts)
            async with asyncio.timeout(BODY_WITHIN):
                body = await _body(receive)
        except TimeoutError:
            await plain(408, "Too slow.")(scope, receive, headed)
            return
        except Refused as why:
            await plain(why.status, why.why)(scope, receive, headed)
            return
        try:
            async with asyncio.timeout(ANSWER_WITHIN):
                await self.app(scope, _replayed(body, receive), headed)
        except TimeoutError:
            if not begun:
                await plain(503, "It took too long.")(scope, receive, headed)


def check_headers(scope: Scope, hosts: tuple[str, ...]) -> None:
    """Let only such a request pass as this page makes itself.

    Raises
    ------
    Refused : another host, another origin, too long a body, or one that is no form.
    """
    said: dict[str, list[str]] = {}
    for name, value in scope["headers"]:
        said.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
    host = said.get("host", [])
    if len(host) != 1 or host[0] not in hosts:
        raise Refused(421, "This page is not at that address.")
    if scope["method"] in ("GET", "HEAD"):
        return
    if scope["method"] != "POST":
        raise Refused(405, "Only pages are got and forms are posted here.")
    if said.get("origin") != [f"http://{host[0]}"]:
        raise Refused(403, "Posted from another page.")
    if [kind.split(";")[0].strip().lower() for kind in said.get("content-type", [])] != [FORM]:
        raise Refused(415, "Only forms are taken here.")
    length = said.get("content-length", ["0"])
    if len(length) != 1 or not length[0].isdecimal() or int(length[0][:9]) > LARGEST:
        raise Refused(413, f"Longer than {LARGEST} bytes.")


async def _body(receive: Receive) -> bytes:
    """The body, as long as it may be."""
    body = b""
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise Refused(400, "Broken off.")
        body += bytes(message.get("body", b""))
        if len(body) > LARGEST:
            raise Refused(413, f"Longer than {LARGEST} bytes.")
        if not message.get("more_body", False):
            return body


def _replayed(body: bytes, receive: Receive) -> Receive:
    """The body once more, then whatever comes after it."""
    left: list[Message] = [{"type": "http.request", "body": body, "more_body": False}]

    async def again() -> Message:
        return left.pop() if left else await receive()

    return again


def plain(status: int, words: str) -> Response:
    """An answer in plain words."""
    return Response(f"{words}\n", status_code=status, media_type="text/plain")
