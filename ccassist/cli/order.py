"""``ccassist order``: the piston specification on the screen, and the order sheet as a PDF."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.cli.screen import say, say_json, show_report
from ccassist.job.disk import check_output
from ccassist.report.data import to_json
from ccassist.report.order import order_of, piston_order_of
from ccassist.report.order_sheet import order_report
from ccassist.values.findings import clean
from ccassist.vocabulary.record import record


@record
class Shown:
    """What is to be shown: the file to write, its page, whether as final, what supports the answer too."""

    out: Path | None = None
    page: str = "A4"
    final: bool = False
    everything: bool = False
    on_screen: bool = True
    force: bool = False


def run(file: Path, shown: Shown, *, system: str | None, as_json: bool = False) -> int:
    """Print the answer, and write the sheet where asked; 1 where it is to be final and something stands open."""
    out, final = shown.out, shown.final
    if out is not None:
        check_output(out, "--out", file, force=shown.force)
    order = order_of(survey_of(file), system)
    told = piston_order_of(order)
    refused = final and not order.final
    if as_json:
        say_json(to_json(told, order.fmt))
    elif shown.on_screen:
        written = out is not None and final == order.final
        report = order_report(order, told, clean(str(file), 200), written=written)
        show_report(report, everything=shown.everything, kept=int(refused or out is not None))
    if refused:
        reasons = {"what does not fit": told.does_not_fit, "what stands open": order.points}
        wrong = " and ".join(words for words, there in reasons.items() if there)
        say(f"Not final: {wrong} must be settled first; nothing was written.", error=True)
        return 1
    if out is not None:
        from ccassist.paper.order import write_order

        pages = write_order(order, out, page=shown.page, final=final)
        said = f"Wrote {clean(str(out), 300)}, {pages} pages {shown.page}, {'FINAL' if final else 'DRAFT'}."
        say(said, error=as_json)
    return 0 if told.ordered else 1
