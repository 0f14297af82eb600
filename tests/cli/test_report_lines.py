"""Any report on the terminal: the answer in a window, columns where they fit, nothing broken, nothing lost."""

from __future__ import annotations

import io
import os
import shlex

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ccassist.cli.layout import ALL, HEIGHT, filled, report_lines
from ccassist.cli.screen import Window
from ccassist.report.blocks import Grid, Heading, Report, Table, Text

NAMES = st.text("abcdef ", min_size=1, max_size=30).map(lambda name: " ".join(name.split()) or "a")
FIGURES = st.floats(0.001, 9999).map(lambda x: f"{x:.3f} ± 0.001 mm below deck")


@st.composite
def reports(draw: st.DrawFn) -> Report:
    names, figures, rows = draw(st.integers(0, 4)), draw(st.integers(1, 5)), draw(st.integers(1, 60))
    table = Table(
        head=("", *(draw(NAMES) for _ in range(names + figures))),
        rows=tuple(
            (str(n), *(draw(NAMES) for _ in range(names)), *(draw(FIGURES) for _ in range(figures)))
            for n in range(1, rows + 1)
        ),
        names=tuple(range(1, names + 1)),
        long=True,
    )
    return Report(title="T", subject="S", answer=(Text("Said first.", strong=True), table), support=(Heading("more"),))


@given(reports(), st.sampled_from([60, 80]))
def test_whatever_the_table_the_answer_fits_and_no_figure_is_torn(report: Report, width: int) -> None:
    lines = report_lines(report, width=width)
    assert len(lines) < HEIGHT
    for said in (lines, report_lines(report, everything=True, width=width)):
        assert max(map(len, said)) < width
        assert not any(line.endswith("±") or line.lstrip().startswith("±") for line in said)


@given(reports())
def test_all_of_it_has_every_row(report: Report) -> None:
    table = report.answer[1]
    assert isinstance(table, Table)
    said = report_lines(report, everything=True)
    figures = sum(line.count(" ± ") for line in said)
    assert figures == sum(cell.count(" ± ") for row in table.rows for cell in row)
    assert not any("more row" in line for line in said)


COMMAND = ("ccassist", "solve", "/shop/heads of-the-long-name/" + "a-b/" * 30 + "job.toml", "--for", "crown_volume")


@pytest.mark.parametrize("width", [60, 80])
def test_a_command_is_broken_between_its_words_only(width: int) -> None:
    """A path may be longer than the window: it stays whole, quoted as a shell wants it."""
    report = Report(title="T", subject="S", answer=(Text("Next: find the crown.", command=COMMAND),))
    first, *command = report_lines(report, width=width)
    assert first == "Next: find the crown."
    assert shlex.split(" ".join(line.strip() for line in command)) == list(COMMAND)


@given(st.lists(st.tuples(st.sampled_from("abcdefgh "), FIGURES), min_size=1, max_size=40), st.integers(50, 80))
def test_no_line_ends_within_a_figure(told: list[tuple[str, str]], width: int) -> None:
    lines = filled(" ".join(f"{words} {figure}" for words, figure in told), width=width)
    assert not any(line.endswith("±") or line.lstrip().startswith(("±", "mm")) for line in lines)


def test_what_is_spare_is_left_out_where_the_answer_would_be_too_long() -> None:
    spare = [Text(f"spare {n}", spare=True) for n in range(30)]
    report = Report(title="T", subject="S", answer=(Text("first"), *spare, Text("next")))
    lines = report_lines(report)
    assert len(lines) == HEIGHT - 1
    assert lines[0] == "first"
    assert lines[-2:] == ["next", ALL]
    assert report_lines(report, everything=True)[1:-1] == [text.words for text in spare]


@given(st.lists(FIGURES, min_size=1, max_size=48), st.sampled_from([60, 80]))
def test_a_grid_fits_and_all_of_it_has_every_text(cells: list[str], width: int) -> None:
    report = Report(title="T", subject="S", answer=(Text("first"), Grid(tuple(cells))))
    assert len(report_lines(report, width=width)) < HEIGHT
    lines = report_lines(report, everything=True, width=width)
    assert max(map(len, lines)) < width
    assert " ".join(" ".join(lines[1:]).split()) == " ".join(cells)


class Terminal(io.StringIO):
    """Something that says that it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_on_a_terminal_enter_turns_over_and_q_ends_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", Terminal())
    typed = iter(["", "q"])
    window = Window()
    with monkeypatch.context() as on_terminal:
        on_terminal.setattr("sys.stdout", Terminal())
        on_terminal.setattr("shutil.get_terminal_size", lambda *_: os.terminal_size((80, 24)))
        on_terminal.setattr("builtins.input", lambda _: next(typed))
        window.open()
        shown = [window.take("a line") for _ in range(100)]
    assert shown.index(False) == 2 * 23
    assert not any(shown[2 * 23 :])


def test_a_row_told_as_a_paragraph_parts_its_name_from_its_first_figure() -> None:
    """Whether the names have a title or not; a bare number is one of a list."""
    rows = (("more dish", *["−0.110 ± 0.010"] * 5), ("3", *["0"] * 5))
    table = Table(head=("", *(f"figure {n}" for n in range(5))), rows=rows, names=(0,))
    said = "\n".join(report_lines(Report(title="T", subject="S", answer=(table,)), width=60))
    assert "more dish: figure 0" in said
    assert "3   figure 0" in said
