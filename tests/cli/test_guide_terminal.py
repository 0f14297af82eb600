"""``ccassist guide`` on a terminal and through a pipe."""

from __future__ import annotations

import io
import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from ccassist.cli.guide import Front, Look, large
from ccassist.job.file import load
from tests.cli.terminal import COMMAND, Bench

HEADS = (
    'format = 1\n[job]\nleave_out = "bore, stack, deck, crown, crown-bench, gasket, land"\n[engine]\ncylinders = 2\n'
)


@pytest.fixture
def heads(tmp_path: Path) -> Path:
    """Two chambers to be measured."""
    path = tmp_path / "heads.toml"
    path.write_text(HEADS, encoding="utf-8")
    return path


def heed_interrupts() -> None:
    """Tests run in the background of a shell inherit that Ctrl-C is ignored; a person's terminal does not."""
    signal.signal(signal.SIGINT, signal.default_int_handler)


def interrupt(child: object, said: str) -> None:
    """Ctrl-C until it is answered: one that comes before the line is being read waits for the next key."""
    import pexpect

    child.expect_exact("> ")  # type: ignore[attr-defined]
    for _ in range(6):
        child.sendintr()  # type: ignore[attr-defined]
        if child.expect_exact([said, pexpect.TIMEOUT], timeout=5) == 0:  # type: ignore[attr-defined]
            return
    raise AssertionError(f"never said: {said}")


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_from_new_to_a_finished_series_on_a_terminal(tmp_path: Path) -> None:
    """A whole sitting: start a file, measure a chamber three times, break off with Ctrl-C, go on where it stopped."""
    pexpect = pytest.importorskip("pexpect")
    file = tmp_path / "twin.toml"
    environment = {**os.environ, "TERM": "dumb", "COLUMNS": "100", "LINES": "70", "PYTHONIOENCODING": "utf-8"}

    def start(*words: str) -> object:
        return pexpect.spawn(
            COMMAND[0],
            [*COMMAND[1:], *words],
            env=environment,
            encoding="utf-8",
            timeout=30,
            echo=False,
            dimensions=(70, 100),
            preexec_fn=heed_interrupts,
        )

    def answer(child: object, pairs: list[tuple[str, str]]) -> None:
        for question, line in pairs:
            child.expect_exact(question)  # type: ignore[attr-defined]
            child.sendline(line)  # type: ignore[attr-defined]

    child = start("guide", str(file))
    answer(
        child,
        [
            ("What is it for?", "head"),
            ("How many cylinders", "2"),
            ("How is it read?", "1"),
            ("Which tool", "bur 50"),
            ("Which one?", "2"),
            ("fill 1: burette at the start [cc]", "0.10"),
            ("fill 1: burette at the end [cc]", "46.15"),
            ("1 fill of cylinder 1: 46.05 cc", ""),
            ("Temperature of the fluid", "20"),
            ("Is the running plug fitted?", "1"),
            ("Did the fluid stand in the plate's hole?", "1"),
            ("Grease film between face and plate", ""),
            ("State of the head", "as received"),
            ("fill 2: burette at the start [cc]", "0.10"),
        ],
    )
    child.expect_exact("fill 2: burette at the end")  # type: ignore[attr-defined]
    interrupt(child, "Not recorded, as it was not complete: start 0.10 cc")
    child.expect_exact("1 reading saved in this sitting.")  # type: ignore[attr-defined]
    child.expect(pexpect.EOF)  # type: ignore[attr-defined]
    child.close()  # type: ignore[attr-defined]
    assert child.exitstatus == 0  # type: ignore[attr-defined]

    child = start("guide", str(file))
    answer(
        child,
        [
            ("fill 2: burette at the start", "0.20"),
            ("fill 2: burette at the end", "46.30"),
            ("fill 3: burette at the start", "0.05"),
            ("fill 3: burette at the end", "46.20"),
            ("that count: 3, asked for: 3. Enter goes on.", ""),
            ("Cylinder 2, fill 1", "f"),
        ],
    )
    child.expect_exact("Left to do: chamber 2.")  # type: ignore[attr-defined]
    child.expect(pexpect.EOF)  # type: ignore[attr-defined]
    (series,) = load(file).job.series
    assert [row.fields["end"][0] for row in series.rows] == ["46.15 cc", "46.30 cc", "46.20 cc"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["twin.toml"]


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_nothing_runs_off_the_top_of_a_small_window(heads: Path) -> None:
    """In 80 x 24 all of a step comes in pieces, and what is asked first in one."""
    pexpect = pytest.importorskip("pexpect")
    environment = {**os.environ, "TERM": "dumb", "COLUMNS": "80", "LINES": "24", "PYTHONIOENCODING": "utf-8"}
    words = [*COMMAND[1:], "guide", str(heads)]
    child = pexpect.spawn(COMMAND[0], words, env=environment, encoding="utf-8", timeout=30, echo=False)
    child.expect_exact("\r\n> ")
    assert child.before.strip("\r\n").count("\n") < 14
    assert "How is it read?" in child.before
    child.sendline("/h")
    pieces = []
    while child.expect_exact(["-- Enter shows the rest --", "\r\n> "]) == 0:
        pieces.append(child.before)
        child.sendline("")
    pieces.append(child.before)
    assert len(pieces) > 1
    assert all(piece.strip("\r\n").count("\n") < 24 for piece in pieces)
    assert max(len(line) for piece in pieces for line in piece.splitlines()) < 80
    child.sendline("h")
    child.expect_exact("-- Enter shows the rest --")
    child.sendline("/f")
    child.expect_exact("Nothing recorded in this sitting.")
    child.expect(pexpect.EOF)


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
class TestColour:
    """On a terminal with colour, 80 x 24: headings are bold, and no escape code is ever read as text."""

    LINES = (
        *("c", "1", "burette 50 ml class B", "water", "20", "1", "1", "", "", "as received", "Ida"),
        *("0.1", "46.2", "h", "l"),
    )

    def test_no_escape_code_is_seen(self, heads: Path) -> None:
        pytest.importorskip("pexpect")
        bench = Bench("guide", heads)
        bench.wait()
        for line in self.LINES:
            bench.type(line)
            assert len(bench.screen.window) <= 24
        bench.type("0.2, 46.4, 0.1, 46.2", "", "j deck 2")
        bench.close()
        assert bench.screen.bold[0] == "Head chamber by fluid: cylinder 1 of 2"
        assert "Deck clearance: cylinder 2 of 2" in bench.screen.bold
        assert not re.search(r"\[[\d;]*m\b|U\+001B|\^\[", bench.screen.text)
        assert max(map(len, bench.screen.lines)) < 80

    def test_an_answer_typed_before_its_question_is_not_taken_for_it(self, heads: Path) -> None:
        pytest.importorskip("pexpect")
        bench = Bench("guide", heads)
        bench.wait()
        bench.send("h")
        bench.wait(turn=False)
        seen = bench.type("2")
        assert "Not taken, as it was typed before the question: 2" in seen
        assert "How is it read?" in seen
        assert "Which tool" in bench.type("1")
        bench.close()

    def test_a_heading_of_the_file_steers_nothing(self, tmp_path: Path) -> None:
        """A part's name in a heading is text like any other, bold or not."""
        pytest.importorskip("pexpect")
        path = tmp_path / "odd.toml"
        path.write_text(
            'format = 1\n[job]\nleave_out = "bore, stack, deck, chamber, crown, crown-bench, land"\n'
            '[engine]\ncylinders = 2\n[part."\\u001B[31mgasket"]\nkind = "gasket"\n',
            encoding="utf-8",
        )
        bench = Bench("guide", path)
        bench.wait()
        bench.close()
        assert any("<U+001B>[31mgasket" in line for line in bench.screen.bold)

    @pytest.mark.parametrize("variable", [("NO_COLOR", "1"), ("TERM", "dumb")])
    def test_without_colour_there_is_no_code_at_all(
        self, heads: Path, monkeypatch: pytest.MonkeyPatch, variable: tuple[str, str]
    ) -> None:
        monkeypatch.setattr(sys, "stdin", io.StringIO())
        monkeypatch.setenv("TERM", "xterm")
        monkeypatch.setenv(*variable)
        monkeypatch.setattr("sys.stdout.isatty", lambda: True)
        assert not Front(Look()).bold


def widest(said: str) -> int:
    """The length of the longest line, but for those of a file's name, which is never broken and may be long."""
    return max(len(line) for line in said.splitlines() if "heads.toml" not in line)


def piped(lines: str, *words: str) -> subprocess.CompletedProcess[str]:
    """The command with lines on its standard input."""
    return subprocess.run([*COMMAND, *words], input=lines, capture_output=True, text=True, check=False)


class TestPiped:
    """Without a terminal: the same lines, no escape codes, the end of the input finishes."""

    def test_the_end_of_the_input_finishes(self, heads: Path) -> None:
        done = piped("", "guide", str(heads))
        assert done.returncode == 0
        assert "Nothing recorded in this sitting." in done.stdout
        assert "\x1b" not in done.stdout

    def test_plain_is_one_line_after_another(self, heads: Path) -> None:
        done = piped("h\n", "guide", str(heads), "--plain")
        assert "-----" not in done.stdout
        line = "Thin grease ring outside the chamber; plate pressed on, vent hole high."
        assert any(said.endswith(f". {line}") for said in done.stdout.splitlines())

    def test_no_line_is_wider_than_a_terminal(self, heads: Path) -> None:
        fills = "0\n46.2\n0\n46.3\n0\n44.1\n\n0\n47\nl\nj deck 1\n"
        done = piped(
            f"c\n1\nburette 50 ml class B\nisopropanol 99 %\n20\n1\n1\n\n\n\nIda\n{fills}", "guide", str(heads)
        )
        assert "a bubble under the plate" in " ".join(done.stdout.split())
        assert widest(done.stdout) < 80

    def test_what_is_usual_is_said_once(self, heads: Path) -> None:
        done = piped(
            "c\n1\nburette 50 ml class B\nwater\n20\n1\n1\n\n\n\nIda\n0\n46\n0\n", "guide", str(heads), "--plain"
        )
        assert done.stdout.count("burette at the start [cc] (usual ") == 1
        assert "fill 2: burette at the start [cc]\n" in done.stdout

    def test_control_codes_of_a_file_do_not_reach_the_terminal(self, heads: Path) -> None:
        heads.write_text(HEADS.replace("[engine]", 'by = "\\u001B[2J"\n[engine]'), encoding="utf-8")
        done = piped("c\n1\n\n\n\n1\n1\n\n\n\nh\n", "guide", str(heads))
        assert "\x1b" not in done.stdout
        assert "<U+001B>" in done.stdout

    def test_straight_to_a_step_and_cylinder(self, heads: Path) -> None:
        done = piped("", "guide", str(heads), "--step", "deck", "--cylinder", "2")
        assert "Deck clearance: cylinder 2 of 2" in done.stdout

    @pytest.mark.parametrize(
        ("words", "said"),
        [(("--step", "dekc"), 'did you mean "deck"'), (("--cylinder", "7"), "no such cylinder")],
    )
    def test_nowhere(self, heads: Path, words: tuple[str, str], said: str) -> None:
        done = piped("", "guide", str(heads), *words)
        assert done.returncode == 2
        assert said in done.stderr
        assert done.stderr.count("\n") == 1

    def test_a_broken_file_is_one_line(self, heads: Path) -> None:
        heads.write_text(HEADS + "[[series\n", encoding="utf-8")
        done = piped("", "guide", str(heads))
        assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)

    def test_a_file_with_faults_is_walked_all_the_same(self, heads: Path) -> None:
        heads.write_text(HEADS + "bore_size = 3\n", encoding="utf-8")
        done = piped("", "guide", str(heads))
        assert "This file has 1 fault" in done.stdout
        assert done.returncode == 0


def test_the_first_prompt_loads_no_heavy_library(heads: Path) -> None:
    code = (
        "import sys, builtins\n"
        "from pathlib import Path\n"
        "from ccassist.cli import guide\n"
        "heavy = ('sympy', 'reportlab', 'numpy', 'pint', 'uncertainties', 'mpmath', 'rich')\n"
        "def first(_=''):\n"
        "    print([m for m in heavy if m in sys.modules])\n"
        "    raise EOFError\n"
        "builtins.input = first\n"
        f"guide.run(Path({str(heads)!r}), step=None, cylinder=None, look=guide.Look(plain=True))\n"
    )
    for text in (
        HEADS,
        HEADS + '[[series]]\nstep = "chamber"\ncylinder = 1\nreadings = [ { start = "0", end = "46" } ]\n',
    ):
        heads.write_text(text, encoding="utf-8")
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
        assert "[]" in done.stdout.splitlines()


class TestFromTwoMetres:
    """Large figures of the value just read and the mean; a bell at each reading that is saved."""

    LINES = "1\nburette 50 ml class B\n0, 46.2, 0, 46.4\n"

    def test_the_value_and_the_mean_are_large(self, heads: Path) -> None:
        done = piped(self.LINES, "guide", str(heads), "--big")
        assert "Fill of cylinder 1, and the mean, cc:" in done.stdout
        assert large("46.40  46.30", 79)[0].rstrip() in done.stdout
        assert widest(done.stdout) < 80

    def test_a_bell_when_it_is_saved_and_never_else(self, heads: Path) -> None:
        assert piped("1\nburette 50 ml class B\n0\n", "guide", str(heads), "--bell").stdout.count("\a") == 0
        assert piped("0\n46.2\n", "guide", str(heads), "--bell").stdout.count("\a") == 1

    def test_plain_has_no_drawn_figures(self, heads: Path) -> None:
        assert "█" not in piped(self.LINES, "guide", str(heads), "--big", "--plain").stdout
