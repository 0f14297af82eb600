"""Any report on the terminal: the answer in a window, columns where they fit, nothing broken, nothing lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from ccassist.cli.report import HEIGHT, report_lines
from ccassist.report.blocks import Heading, Report, Table, Text

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
