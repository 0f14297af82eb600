"""The piston order sheet as a PDF, draft or final."""

from __future__ import annotations

from pathlib import Path

from ccassist.job.disk import write_bytes
from ccassist.paper.page import check_page
from ccassist.paper.reports import report_bytes
from ccassist.report.order import Order, piston_order_of
from ccassist.report.order_sheet import order_sheet
from ccassist.values.findings import InputError, error


def write_order(order: Order, path: str | Path, *, page: str = "A4", final: bool = False) -> int:
    """Write the order sheet as a PDF, atomically; returns its number of pages.

    Raises
    ------
    InputError : unknown page size, a final sheet of an order with open points, or the file cannot be written.
    """
    data, pages = order_bytes(order, page=page, final=final)
    write_bytes(Path(path), data)
    return pages


def order_bytes(order: Order, *, page: str = "A4", final: bool = False) -> tuple[bytes, int]:
    """The order sheet's PDF and its number of pages; the same order gives the same bytes.

    It is a draft unless it is asked to be final, and says so on every page.

    Raises
    ------
    InputError : unknown page size, or a final sheet of an order with open points.
    """
    if final and not order.final:
        raise InputError(error("not-final", "it does not fit, or points stand open: it can only be printed as a draft"))
    check_page(page)
    report = order_sheet(order, piston_order_of(order), final=final, page=page)
    return report_bytes(report, order.spec.planned, page=page, fmt=order.fmt)
