"""The bench page as a browser gets it: in this process, or by its command in one that can be killed."""

from __future__ import annotations

import threading
import time
import tomllib
from pathlib import Path
from typing import Any

import uvicorn

from ccassist.job.write import JobFile
from ccassist.phone.app import Bench
from ccassist.phone.door import Door
from ccassist.phone.sitting import Sitting
from tests.phone.test_process import Served as Process
from tests.phone.test_process import free_port

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


class Readings:
    """One job behind its page: where that is, and what is on the disk."""

    path: Path
    port: int
    code: str

    def address(self, path: str = "") -> str:
        """Of a page."""
        return f"http://127.0.0.1:{self.port}/{path}"

    @property
    def rows(self) -> list[dict[str, Any]]:
        """All readings, in order."""
        series = tomllib.loads(self.path.read_text(encoding="utf-8")).get("series", [])
        return [row for block in series for row in block["readings"]]

    @property
    def ends(self) -> list[str]:
        """The last value of each fill."""
        return [str(row["end"]) for row in self.rows]


class Served(Readings):
    """The page of a job, served by a thread of this process."""

    def __init__(self, path: Path, text: str = HEADS) -> None:
        self.path, self.port, self.faults = path, free_port(), []
        if text:
            path.write_text(text, encoding="utf-8")
        self.file = JobFile.open(path, new=True)
        self.door = Door([f"127.0.0.1:{self.port}"], self.port)
        self.bench = Bench(Sitting(self.file), self.door, fault=self.faults.append)
        config = uvicorn.Config(self.bench.asgi(), port=self.port, lifespan="off", ws="none", log_level="critical")
        self.server = uvicorn.Server(config)
        self.thread = threading.Thread(target=self.server.run, daemon=True)
        self.thread.start()
        while not self.server.started:
            time.sleep(0.01)
        self.code = self.door.new_code()

    faults: list[Exception]

    def another_code(self) -> str:
        """Enter at the terminal makes another code."""
        self.code = self.door.new_code()
        return self.code

    def forget(self) -> None:
        """Know only what stands on the disk, and nobody, as after a restart."""
        self.door.devices.clear()
        self.door.writer = ""
        self.bench.sitting = Sitting(self.file)
        self.another_code()

    def end(self) -> None:
        """The end of it, and no fault of the program on the way."""
        self.server.should_exit = self.server.force_exit = True
        self.thread.join()
        self.file.close()
        assert not self.faults


class Command(Readings):
    """The page as the command serves it, in a process of its own."""

    def __init__(self, path: Path, text: str = HEADS) -> None:
        self.path, self.port = path, free_port()
        path.write_text(text, encoding="utf-8")
        self.start()

    def start(self) -> None:
        """Start it, at the same address as before."""
        self.run = Process(self.path, self.port)
        self.code = self.run.code.replace(" ", "")

    def kill(self) -> None:
        """End it at once, as a power cut would."""
        self.run.process.kill()
        self.run.process.communicate(timeout=60)

    def end(self) -> None:
        """Ctrl-C, if it runs."""
        if self.run.process.poll() is None:
            self.run.end()
