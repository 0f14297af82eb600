"""The run of ``ccassist phone``: what it prints, where it listens, how it ends."""

from __future__ import annotations

import asyncio
import contextlib
import errno
import io
import os
import shlex
import socket
import sys
from collections.abc import Callable
from typing import Any

import segno
import uvicorn
from uvicorn.protocols.http.h11_impl import H11Protocol

from ccassist.guide.words import faults_of
from ccassist.job.write import JobFile
from ccassist.phone.app import Bench
from ccassist.phone.door import CODE_LASTS, LOOPBACK, TRIES, Door, host_of, private_addresses
from ccassist.phone.sitting import Sitting
from ccassist.values.findings import InputError, error
from ccassist.vocabulary.record import record

CONNECTIONS, EACH = 48, 16  # at a time: in all, and of one address
HEAD_WITHIN, WHOLE_WITHIN = 10.0, 45.0  # s, to a request's head, and to the end of its answer
ENDS_WITHIN, SAVES_WITHIN = 1, 0.5  # s, for answers that are under way, and for a save
LARGEST_HEAD = 8192  # bytes
PLAIN_HTTP = "Plain http: anyone on that network can read along."


@record
class Listening:
    """Where it is to listen: the address of ``--lan``, "" for this machine alone; and what a new job is in."""

    address: str = ""
    port: int
    system: str = "metric"


class Connection(H11Protocol):
    """A connection that is closed where a request is late or its answer is not taken, or where one address has many."""

    open: dict[str, int] = {}  # noqa: RUF012  # by address, of all connections together

    def connection_made(self, transport: Any) -> None:
        """Count it; a little time for its first request."""
        super().connection_made(transport)
        self.peer = str((transport.get_extra_info("peername") or ("",))[0])
        self.open[self.peer] = self.open.get(self.peer, 0) + 1
        self.waits = self.loop.call_later(HEAD_WITHIN, self._late)
        if self.open[self.peer] > EACH:
            transport.abort()

    def data_received(self, data: bytes) -> None:
        """A little time for what is begun with it; for the whole of it where its head is there."""
        between = self._between()
        super().data_received(data)
        if not self._between():
            self._within(WHOLE_WITHIN)
        elif not between or self.waits.cancelled():
            self._within(HEAD_WITHIN)

    def on_response_complete(self) -> None:
        """Nothing is waited for; what is not taken of the answer in time is not kept."""
        super().on_response_complete()
        if self._between():
            self._within(HEAD_WITHIN)

    def _between(self) -> bool:
        return self.cycle is None or self.cycle.response_complete

    def _within(self, seconds: float) -> None:
        self.waits.cancel()
        self.waits = self.loop.call_later(seconds, self._late)

    def _late(self) -> None:
        if self._between() and not self.transport.get_write_buffer_size():
            self.transport.close()
        else:
            self.transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """Count it no more."""
        self.waits.cancel()
        self.open[self.peer] -= 1
        if not self.open[self.peer]:
            del self.open[self.peer]
        super().connection_lost(exc)


class Quiet(uvicorn.Server):
    """A server that ends without a signal of its own being raised again: Ctrl-C is how it is meant to end."""

    @contextlib.contextmanager
    def capture_signals(self) -> Any:
        """As uvicorn's, but for what it does at the end."""
        with super().capture_signals():
            try:
                yield
            finally:
                self._captured_signals.clear()


def serve(
    file: JobFile, asked: Listening, say: Callable[[str], None], draw: Callable[[str], None] | None = None
) -> None:
    """Serve the page until Ctrl-C; ``say`` prints a line, ``draw`` one of the picture that is scanned.

    Raises InputError: nothing can listen there, or the file is no job.
    """
    address = asked.address or LOOPBACK
    hosts = [host_of(address, asked.port), *([] if asked.address else [f"localhost:{asked.port}"])]
    door = Door(hosts, asked.port)
    sitting = Sitting(file, system=asked.system, tell=say)
    with _listening(address, asked.port) as listens:
        _opened(file, asked, hosts[0], say)
        for text in faults_of(sitting.state):
            say(text)

        def show() -> None:
            _show_code(door.new_code(), hosts[0], say, draw or say)

        show()
        say("Enter makes another code, for another device or to write from it; Ctrl-C ends.")
        bench = Bench(sitting, door, fault=lambda one: say(_fault(one)))
        asyncio.run(_served(bench, listens, show))
        bench.worker.end(SAVES_WITHIN)
    say("Ended; what was saved is saved.")


def _fault(one: Exception) -> str:
    return f"A fault of this program ({type(one).__name__}: {one}); the page goes on."


def _listening(address: str, port: int) -> socket.socket:
    """The socket, bound before anything is printed of it."""
    family = socket.AF_INET6 if ":" in address else socket.AF_INET
    listens = socket.socket(family, socket.SOCK_STREAM)
    try:
        if os.name == "posix":
            listens.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listens.bind((address, port))
        listens.listen(CONNECTIONS)  # before it is printed: whoever scans it at once waits a moment
    except OSError as fault:
        listens.close()
        wrong = f"nothing can listen there: {fault.strerror or fault}"
        there = ", ".join(private_addresses()) or "none found"
        taken = fault.errno == errno.EADDRINUSE
        right = "where another job's page is open, end it first" if taken else f"private addresses here: {there}"
        raise InputError(error("no-listening", wrong, read=host_of(address, port), right=right)) from None
    return listens


async def _served(bench: Bench, listens: socket.socket, show: Callable[[], None]) -> None:
    config = uvicorn.Config(
        bench.asgi(),
        http=Connection,
        ws="none",
        loop="asyncio",
        lifespan="off",
        log_config=None,
        log_level="critical",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=CONNECTIONS,
        timeout_keep_alive=10,
        timeout_graceful_shutdown=ENDS_WITHIN,
        h11_max_incomplete_event_size=LARGEST_HEAD,
    )
    with _enter_pressed(show):
        await Quiet(config).serve(sockets=[listens])


@contextlib.contextmanager
def _enter_pressed(then: Callable[[], None]) -> Any:
    """While it serves, a line at the terminal does something; where there is no terminal, nothing."""
    loop = asyncio.get_running_loop()

    def line() -> None:
        if os.read(sys.stdin.fileno(), 4096):
            then()
        else:
            loop.remove_reader(sys.stdin.fileno())

    listens = False
    with contextlib.suppress(OSError, ValueError, NotImplementedError, AttributeError):
        loop.add_reader(sys.stdin.fileno(), line)
        listens = True
    try:
        yield
    finally:
        if listens:
            loop.remove_reader(sys.stdin.fileno())


# -- what is printed -------------------------------------------------------------------------------
def _opened(file: JobFile, asked: Listening, host: str, say: Callable[[str], None]) -> None:
    """Where it listens, and how another device gets there."""
    say(f"The bench page of {file.path} listens at http://{host}")
    if asked.address:
        say(PLAIN_HTTP)
    else:
        say("Only this machine reaches it. For a phone on the shop's network, end it and start it with one of:")
        found = private_addresses()
        for address in found:
            say(f"  ccassist phone {shlex.quote(str(file.path))} --lan {address}")
        if not found:
            say("  (no private address found on this machine)")


def _show_code(code: str, host: str, say: Callable[[str], None], draw: Callable[[str], None]) -> None:
    """A code as a picture to scan and in figures."""
    drawn = io.StringIO()
    segno.make(f"http://{host}/enter/{code}", micro=False).terminal(out=drawn, compact=True)
    for line in drawn.getvalue().splitlines():
        draw(line)
    say(f"Code {code[:4]} {code[4:]}: http://{host}/enter; for {CODE_LASTS / 60:.0f} minutes, {TRIES} tries.")
