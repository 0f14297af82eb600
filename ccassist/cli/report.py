"""A report on the terminal: the answer within one window, what supports it when asked for."""

from __future__ import annotations

from ccassist.cli.layout import HEIGHT, report_lines
from ccassist.cli.screen import say, window_width
from ccassist.report.blocks import Report

__all__ = ["HEIGHT", "report_lines", "show_report"]


def show_report(report: Report, *, everything: bool, kept: int = 0) -> None:
    """Print it; all of it where ``everything`` is asked for, else leaving ``kept`` lines of the window free."""
    for line in report_lines(report, everything=everything, width=window_width(), height=HEIGHT - kept):
        say(line)
