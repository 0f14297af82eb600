"""The bench page as its command serves it, in a process of its own, so that it can be killed."""

from __future__ import annotations

import re
import signal
import socket
import subprocess
import sys
import tomllib
from pathlib import Path
from typing import Any

RUN = """
import sys
from pathlib import Path
from ccassist.job.write import JobFile
from ccassist.phone.serve import Listening, serve
with JobFile.open(Path(sys.argv[1]), new=True) as file:
    serve(file, Listening(port=int(sys.argv[2])), lambda line: print(line, flush=True))
"""

HEADS = """format = 1

[job]
name = "Three chambers"
units = "metric"
for = "heads"

[engine]
cylinders = 3

[[series]]
step = "chamber"
cylinder = 1
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [
    { start = "0.1 cc", end = "46.2 cc" },
]
"""


class Served:
    """One job behind the page."""

    def __init__(self, path: Path, text: str = "") -> None:
        self.path = path
        if text:
            path.write_text(text, encoding="utf-8")
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = int(free.getsockname()[1])
        self.start()

    def start(self) -> None:
        """Start it, at the same address as before."""
        self.process = subprocess.Popen(
            [sys.executable, "-c", RUN, str(self.path), str(self.port)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.code = self._code()

    def _code(self) -> str:
        """The code that is printed next."""
        assert self.process.stdout is not None
        printed = []
        for line in self.process.stdout:
            printed.append(line)
            if found := re.match(r"Code (\d{4}) (\d{4}):", line):
                return found[1] + found[2]
        raise AssertionError("".join(printed))

    def another_code(self) -> str:
        """Enter at the terminal makes another code."""
        assert self.process.stdin is not None
        self.process.stdin.write("\n")
        self.process.stdin.flush()
        self.code = self._code()
        return self.code

    def address(self, path: str = "") -> str:
        """Of a page."""
        return f"http://127.0.0.1:{self.port}/{path}"

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        self.process.kill()
        self._ended()

    def end(self) -> str:
        """Ctrl-C; what it still printed."""
        if self.process.poll() is not None:
            return ""
        self.process.send_signal(signal.SIGINT)
        return self._ended()

    def _ended(self) -> str:
        said, _ = self.process.communicate(timeout=20)
        return said

    @property
    def rows(self) -> list[dict[str, Any]]:
        """All readings on the disk, in order."""
        series = tomllib.loads(self.path.read_text(encoding="utf-8")).get("series", [])
        return [row for block in series for row in block["readings"]]

    @property
    def ends(self) -> list[str]:
        """The last value of each fill on the disk."""
        return [str(row["end"]) for row in self.rows]
