"""Who gets in: this machine's private addresses, a one-time code, a cookie a device, and what a request must look like.

Nothing here is secret once it is on the network: the page speaks plain http, so that whoever is on that network can
read along; what the door keeps out is other people's writing.
"""

from __future__ import annotations

import asyncio
import ipaddress
import secrets
import socket
import sys
import time
from collections.abc import Awaitable, Callable, Iterable, Iterator, Mapping

from starlette.responses import Response
from starlette.types import Message, Receive, Scope, Send

from ccassist.values.findings import InputError, error
from ccassist.vocabulary.record import record

PORT = 8717  # always the same one, so that a browser finds what it kept
LOOPBACK = "127.0.0.1"
# RFC 1918, RFC 3927, RFC 4193: private and link-local addresses (from memory)
PRIVATE = tuple(
    ipaddress.ip_network(one)
    for one in ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "fc00::/7", "fe80::/10")
)
CODE_LASTS, TRIES = 300.0, 5  # s; wrong codes until the code is worth nothing
MOST_DEVICES = 16
LARGEST = 4096  # bytes of a post
HEADERS = {
    "content-security-policy": "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; "
    "font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    "referrer-policy": "same-origin",
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "cross-origin-resource-policy": "same-origin",
}


# -- addresses ------------------------------------------------------------------------------------
def checked_address(text: str) -> str:
    """The address that ``--lan`` names. Raises InputError: it is none, or not a private or link-local one."""
    right = "a private address of this machine, such as those that ccassist phone FILE lists"
    try:
        address = ipaddress.ip_address(text.strip().strip("[]"))
    except ValueError:
        raise InputError(error("no-address", "not an address", read=text, place="--lan", right=right)) from None
    if not is_private(str(address)):
        raise InputError(error("not-private", "not a private address", read=text, place="--lan", right=right))
    return str(address)


def is_private(text: str) -> bool:
    """Whether an address belongs to a private network or to one link alone."""
    address = ipaddress.ip_address(text)
    return any(address in network for network in PRIVATE if network.version == address.version)


def private_addresses() -> list[str]:
    """The private addresses of this machine, as far as it says them; nothing is sent for that."""
    found = [text for text in dict.fromkeys((*_of_interfaces(), *_of_name(), *_of_routes())) if _listed(text)]
    return sorted(found, key=lambda text: ipaddress.ip_address(text).packed)


def _listed(text: str) -> bool:
    try:
        return is_private(text) and not (":" in text and ipaddress.ip_address(text).is_link_local)
    except ValueError:  # with the name of an interface behind it: no browser opens that
        return False


def _of_interfaces() -> Iterator[str]:
    """Of each network interface, where the system tells (Linux: netdevice(7), SIOCGIFADDR)."""
    if not sys.platform.startswith("linux"):
        return
    import fcntl
    import struct

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        for _, name in socket.if_nameindex():
            try:
                said = fcntl.ioctl(asked.fileno(), 0x8915, struct.pack("256s", name.encode()[:15]))
            except OSError:
                continue
            yield socket.inet_ntoa(said[20:24])


def _of_name() -> Iterator[str]:
    try:
        yield from (str(one[4][0]) for one in socket.getaddrinfo(socket.gethostname(), None))
    except OSError:
        return


def _of_routes() -> Iterator[str]:
    """By which this machine would reach a private network: a datagram socket is set up, and nothing sent."""
    for family, there in ((socket.AF_INET, "10.255.255.255"), (socket.AF_INET6, "fd00::1")):
        try:
            with socket.socket(family, socket.SOCK_DGRAM) as asked:
                asked.connect((there, 9))
                yield str(asked.getsockname()[0])
        except OSError:
            continue


def host_of(address: str, port: int) -> str:
    """As it stands in the header Host, and behind http:// (RFC 3986, 3.2.2: brackets around what has colons)."""
    return f"[{address}]:{port}" if ":" in address else f"{address}:{port}"


# -- the code and the devices ------------------------------------------------------------------------
@record
class Device:
    """One browser that was let in: its number, and the token that its forms must carry."""

    number: int
    csrf: str


class Door:
    """The one code, and the devices that came in by it; the first one writes, the others look."""

    def __init__(self, hosts: Iterable[str], port: int, *, clock: Callable[[], float] = time.monotonic) -> None:
        self.hosts, self.cookie, self.clock = tuple(hosts), f"ccassist-{port}", clock
        self.devices: dict[str, Device] = {}
        self.writer = ""
        self.code, self._until, self._tries, self._count = "", 0.0, 0, 0

    def new_code(self) -> str:
        """Another code, which makes the one before worthless."""
        self.code = f"{secrets.randbelow(10**8):08d}"
        self._until, self._tries = self.clock() + CODE_LASTS, TRIES
        return self.code

    @property
    def open(self) -> bool:
        """Whether there is a code that still works."""
        return bool(self.code) and self._tries > 0 and self.clock() < self._until

    def spend(self, code: str) -> bool:
        """Whether the code is right; it is worth nothing afterwards, and nothing after five wrong ones."""
        if not self.open:
            return False
        said = "".join(code.split()).replace("-", "").encode()
        if secrets.compare_digest(said, self.code.encode()):
            self.code = ""
            return True
        self._tries -= 1
        return False

    def admit(self, known: str, *, write: bool) -> str:
        """Let a device in, or let one that is in write; the cookie it has from now on."""
        token = known if known in self.devices else secrets.token_urlsafe(24)
        if token not in self.devices:
            self._count += 1
            self.devices[token] = Device(number=self._count, csrf=secrets.token_urlsafe(18))
            self._leave()
        if write or self.writer not in self.devices:
            self.writer = token
        return token

    def _leave(self) -> None:
        """The oldest device that only looks goes where there are too many."""
        while len(self.devices) > MOST_DEVICES:
            del self.devices[next(token for token in self.devices if token != self.writer)]

    def known(self, cookies: Mapping[str, str]) -> str:
        """The token of a device that was let in, "" where it is none."""
        said = cookies.get(self.cookie, "")
        return said if said in self.devices else ""

    def writes(self, token: str) -> bool:
        """Whether this device is the one that writes."""
        return bool(token) and token == self.writer


# -- what a request must look like before anything is done with it, and the headers of every answer ---

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

    Raises Refused: another host, another origin, too long a body, or one that is no form.
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
