"""The command itself, as a process with a socket: what it prints, a kill before and after saving, how it ends."""

from __future__ import annotations

import contextlib
import http.client
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode

import pytest

from ccassist.job.write import JobFile
from ccassist.phone.door import FORM
from ccassist.phone.serve import Listening, serve
from ccassist.values.findings import InputError
from tests.phone.page import Device, Shop, forms_of
from tests.phone.test_posts import HEADS

SERVE = """
import sys
from pathlib import Path
from ccassist.job.write import JobFile
from ccassist.phone.serve import Listening, serve
with JobFile.open(Path(sys.argv[1]), by="ccassist phone") as file:
    {patch}
    serve(file, Listening(port=int(sys.argv[2])), lambda text: print(text, flush=True))
"""
# the process dies at the moment of saving: before anything is written, or as soon as all is on the disk
BEFORE = "import os, ccassist.job.write as w; w.write_text = lambda *_: os._exit(9)"
AFTER = "import os, ccassist.job.write as w; saved = w.write_text; w.write_text = lambda *a: (saved(*a), os._exit(9))"
NEVER = (
    "import threading, ccassist.phone.app as a; "
    "a.paper = lambda *_: (print('a paper is begun', flush=True), threading.Event().wait())"
)


class Served:
    """The page of a job, served by a process of its own."""

    def __init__(self, path: Path, port: int, patch: str = "pass") -> None:
        self.path, self.host = path, f"127.0.0.1:{port}"
        command = [sys.executable, "-c", SERVE.format(patch=patch), str(path), str(port)]
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=subprocess.STDOUT, text=True)
        self.said, self.cookie, self.page = "", "", ""
        self.code = self.until(r"Code (\d{4} \d{4})")

    def until(self, pattern: str) -> str:
        """What it prints, up to what is looked for."""
        assert self.process.stdout is not None
        while not (found := re.search(pattern, self.said)):
            line = self.process.stdout.readline()
            assert line, self.said
            self.said += line
        return found[1]

    def ask(self, method: str, path: str, fields: dict[str, str] | None = None) -> http.client.HTTPResponse:
        """One request, and where it sends."""
        head = {"Host": self.host, "Origin": f"http://{self.host}", "Content-Type": FORM, "Cookie": self.cookie}
        wire = http.client.HTTPConnection("127.0.0.1", int(self.host.partition(":")[2]), timeout=60)
        wire.request(method, path, urlencode(fields or {}) or None, head)
        answer = wire.getresponse()
        self.page = answer.read().decode("utf-8", "replace")
        self.cookie = (answer.getheader("set-cookie") or self.cookie).partition(";")[0]
        wire.close()
        return self.ask("GET", str(answer.getheader("location"))) if answer.status == 303 else answer

    def enter(self) -> None:
        """Let a device in, and go to the fields of a fill."""
        self.ask("POST", "/enter", {"code": self.code})
        while 'name="v.end"' not in self.page:
            self.ask("POST", "/do", {**self.form("empty"), "do": "empty"})

    def form(self, do: str) -> dict[str, str]:
        """The fields of the form with a button."""
        return next(form.fields for form in forms_of(self.page) if ("do", do) in form.buttons)

    def reading(self, end: str) -> dict[str, str]:
        """A filled form."""
        return {**self.form("save"), "do": "save", "v.start": "0.1", "v.end": end}

    def end(self) -> str:
        """Ctrl-C; all that it printed."""
        self.process.send_signal(signal.SIGINT)
        rest, _ = self.process.communicate(timeout=60)
        return self.said + rest


def free_port() -> int:
    """A port that nothing listens at."""
    with socket.socket() as any_one:
        any_one.bind(("127.0.0.1", 0))
        return int(any_one.getsockname()[1])


def a_job(folder: Path) -> Path:
    """Heads, begun."""
    made = folder / "heads.toml"
    made.write_text(HEADS, encoding="utf-8")
    return made


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    one = Served(a_job(tmp_path_factory.mktemp("served")), free_port())
    yield one
    one.end()


def test_another_writer_is_told_who_holds_it(served: Served) -> None:
    with pytest.raises(InputError, match=rf"by ccassist phone, on \S+ \(process {served.process.pid}\)"):
        JobFile.open(served.path)


def test_enter_at_the_terminal_makes_another_code(served: Served) -> None:
    assert served.process.stdin is not None
    served.process.stdin.write("\n")
    served.process.stdin.flush()
    served.said = ""
    assert served.until(r"Code (\d{4} \d{4})") != served.code


def test_a_port_that_is_taken_is_said_in_a_line(served: Served, tmp_path: Path) -> None:
    told: list[str] = []
    port = int(served.host.partition(":")[2])
    with JobFile.open(a_job(tmp_path)) as file, pytest.raises(InputError, match="nothing can listen there"):
        serve(file, Listening(port=port), told.append)
    assert not told


def test_what_comes_too_slowly_is_closed_and_one_address_holds_only_so_many(tmp_path: Path) -> None:
    """And Ctrl-C ends it while connections are open and a paper is made that never ends: nothing waits for it.

    Nor does a reading; how soon it ends, the benchmark says.
    """
    path = a_job(tmp_path)
    one = Served(path, free_port(), f"{NEVER}; import ccassist.phone.serve as s; s.HEAD_WITHIN, s.EACH = 0.5, 6")
    one.enter()
    head = f"Host: {one.host}\r\nCookie: {one.cookie}\r\n\r\n"
    paper = socket.create_connection(("127.0.0.1", int(one.host.partition(":")[2])), timeout=5)
    paper.sendall(f"GET /paper/forms.pdf HTTP/1.1\r\n{head}".encode())
    one.until("a paper is begun()")
    one.ask("POST", "/do", one.reading("46.3"))
    at = ("127.0.0.1", int(one.host.partition(":")[2]))
    wires = [socket.create_connection(at, timeout=5) for _ in range(8)]
    for wire in wires:
        with contextlib.suppress(ConnectionError):
            wire.sendall(b"GET / HTTP/1.1\r\nHost: ")
            assert wire.recv(100) == b""
        wire.close()
    stuck = [paper, socket.create_connection(at, timeout=5)]
    said = one.end()
    assert one.process.returncode == 0
    assert "Traceback" not in said
    for words in (f"http://{one.host}", "--lan", "was let in and writes", "chamber cylinder 1, recorded: start 0.1"):
        assert words in said
    assert path.read_text(encoding="utf-8").count("46.3 cc") == 1
    assert not list(path.parent.glob(".*lock"))
    for wire in stuck:
        wire.close()


@pytest.mark.parametrize(("patch", "stands"), [(BEFORE, 0), (AFTER, 1)], ids=["before", "after"])
def test_killed_at_the_moment_of_saving(tmp_path: Path, patch: str, stands: int) -> None:
    """Sent again after the restart, one that was not saved is taken; one that was is shown beside what stands."""
    path = a_job(tmp_path)
    first = Served(path, free_port(), patch)
    first.enter()
    form = first.reading("46.3")
    with pytest.raises((OSError, http.client.HTTPException)):
        first.ask("POST", "/do", form)
    first.process.communicate()
    assert path.read_text(encoding="utf-8").count("46.3 cc") == stands
    shop = Shop(path)
    stranger = Device(shop)
    assert stranger.post("/do", form).status == 403  # it asks for a new code
    phone = shop.device()
    while "v.end" not in phone.page:
        phone.tap("empty")
    phone.post("/do", {**form, "csrf": phone.form("save")["csrf"], "age": "70"})
    assert path.read_text(encoding="utf-8").count("46.3 cc") == 1
    assert ('value="drop"' in phone.page) == bool(stands)
    shop.file.close()
