"""``ccassist order``: the piston specification on the screen, and the order sheet as a PDF."""

from __future__ import annotations

from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.analysis.worth import results_of
from ccassist.bench.cautions import cautions
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.job.outputs import check_output
from ccassist.plan.piston.crown import hollow_texts
from ccassist.plan.piston.fields import groups
from ccassist.plan.piston.mistakes import mistake_texts, told
from ccassist.plan.piston.order import (
    CAUTIONS,
    CONVENTION,
    Order,
    counted,
    order_of,
    worst_text,
)
from ccassist.plan.piston.specification import RATIO
from ccassist.values.display import NEEDS_REPEATS, Formatter
from ccassist.values.findings import clean
from ccassist.values.measured import Value
from ccassist.values.verdict import decide
from ccassist.vocabulary import term

UNKNOWN = "± ?"


def run(
    file: Path,
    *,
    out: Path | None,
    page: str,
    system: str | None,
    as_json: bool,
    final: bool,
    on_screen: bool = True,
    force: bool = False,
) -> int:
    """Print the specification, and write the sheet where asked; 1 where it is to be final and something stands open."""
    if out is not None:
        check_output(out, "--out", file, force=force)
    survey = survey_of(file)
    order = order_of(survey, system)
    if as_json:
        say_json(order.to_dict())
    elif on_screen:
        _print(order)
        _print_open(order, file)
    if final and not order.final:
        say(f"Not final: {_why(order)} must be settled first; nothing was written.", error=True)
        return 1
    if out is not None:
        from ccassist.paper.order import write_order

        pages = write_order(order, out, page=page, final=final)
        said = f"Wrote {clean(str(out), 300)}, {pages} pages {page}, {'FINAL' if final else 'DRAFT'}."
        say(said, error=as_json)
    return 0 if order.spec.ordered() else 1


def _print(order: Order) -> None:
    say("The piston to be ordered")
    wrapped(_standing(order), first="  ", rest="  ")
    for key, one in order.spec.ordered().items():
        row = next(row for row in order.rows if row.entry.key == key)
        wrapped(
            f"{row.name}: {row.text} {row.tolerance}".rstrip() + f" ({one.origin}; {one.how})", first="  ", rest="    "
        )
        if not one.tolerance.size:
            wrapped(f"no tolerance: {one.tolerance.reason}", first="    ", rest="    ")
    wrapped(CONVENTION, first="  ", rest="  ")
    wrapped(counted(order), first="  ", rest="  ")
    _print_cylinders(order)
    _print_crown(order)
    for group, found in groups(order.rows).items():
        say()
        say(group)
        for row in found:
            value = " ".join(part for part in (clean(row.text, 200) or "–", row.tolerance) if part)
            wrapped(f"{row.name}: {value}  [{clean(row.origin, 140)}; {clean(row.who, 60)}]", first="  ", rest="    ")
    _print_mistakes(order)
    say()
    say("To confirm with the maker")
    list_findings(order.checks)
    say()
    for caution in cautions(CAUTIONS):
        wrapped(caution)


def _print_cylinders(order: Order) -> None:
    """What the one piston gives in every cylinder: the ratio, and the gaps in a table of their own."""
    spec, fmt = order.spec, order.fmt
    gaps = [key for key in ("squish", "deck_clearance") if key in spec.planned.cylinders[0].values]
    ratios, lengths = [], []
    for cylinder in spec.planned.cylinders:
        number, ratio, band = str(cylinder.number), cylinder.values.get(RATIO), spec.survey.wanted.get(RATIO)
        if ratio is not None:
            judged = decide(ratio, band).value if band else ""
            ratios.append([number, _cell(ratio, fmt), worst_text(spec, cylinder.number, fmt), judged])
        if gaps:
            lengths.append([number, *(_cell(cylinder.values.get(key), fmt) for key in gaps)])
    if not ratios and not lengths:
        return
    say()
    say("With it, in every cylinder (the tolerance above in the ±)")
    if ratios:
        table(["cyl", term(RATIO).name, "at worst", "as wanted"], ratios)
    if lengths:
        say()
        table(["cyl", *(term(key).name for key in gaps)], lengths)
    if any(UNKNOWN in cell for row in (*ratios, *lengths) for cell in row):
        wrapped(f"{UNKNOWN}: the ± is not known yet; take the repeats that show asks for", first="  ", rest="    ")
    unsure(results_of(spec.planned, (RATIO, *gaps)), fmt)


def _cell(value: Value | None, fmt: Formatter) -> str:
    """A value short enough for a table."""
    return "" if value is None else fmt.value(value).replace(f"({NEEDS_REPEATS})", UNKNOWN)


def _print_crown(order: Order) -> None:
    shape = order.spec.shape
    if not shape.hollow:
        return
    say()
    say(f"Crown: {shape.shape}")
    for name, words in hollow_texts(shape, order.fmt).items():
        say(f"  {name}: {words}")
    if shape.solved:
        found = order.fmt.show(shape.solved, shape.sizes[shape.solved])
        say(f"  {term(shape.solved).name} worked out: {found}")


def _print_mistakes(order: Order) -> None:
    if not order.mistakes or order.first is None:
        return
    say()
    say(f"What a mistake would come to (cylinder {order.first.number}, the highest ratio)")
    for one in order.mistakes:
        texts = mistake_texts(one, order.fmt)
        wrapped(f"{told(one, order.fmt)}: ratio {texts['ratio_text']}, squish {texts['squish_text'] or 'not known'}",
                first="  ", rest="    ")  # fmt: skip


def _standing(order: Order) -> str:
    """Whether it can be final, in one line; why not stands at the end."""
    if order.final:
        return "FINAL can be printed: it fits, as far as it could be checked."
    said = [
        f"{len(order.judged.faults)} not fitting" if order.judged.faults else "",
        f"{len(order.points)} open" if order.points else "",
    ]
    return f"DRAFT, not to be made from: {' and '.join(one for one in said if one)}, listed at the end."


def _why(order: Order) -> str:
    """What keeps it from being final."""
    said = [
        "what does not fit" if order.judged.faults else "",
        "what stands open" if order.points else "",
    ]
    return " and ".join(one for one in said if one)


def _print_judged(order: Order) -> None:
    """What does not fit with the way out, what is accepted and why, what was not checked."""
    found = order.judged
    for title, lines in (
        ("DOES NOT FIT", [one.text for one in found.faults]),
        ("ACCEPTED", [one.text for one in found.accepted]),
        ("NOT CHECKED, since it is not given", [*found.unseen, *found.idle]),
    ):
        if lines:
            say()
            say(title)
        for line in lines:
            wrapped(clean(line, 700), first="  - ", rest="    ")


def _print_open(order: Order, file: Path) -> None:
    """What does not fit or stands open, and what to do about it."""
    job = clean(str(file), 200)
    _print_judged(order)
    say()
    if order.final:
        wrapped(f"Nothing stands open. To print it as final: ccassist order {job} --final --out order.pdf")
        return
    if not order.points:
        wrapped(f"DRAFT: it does not fit. To print the draft: ccassist order {job} --out order.pdf")
        return
    one = len(order.points) == 1
    say("DRAFT: one point stands open" if one else f"DRAFT: {len(order.points)} points stand open")
    for point in order.points:
        wrapped(clean(point, 700), first="  - ", rest="    ")
    wrapped(
        f"ccassist guide {job} asks for what is missing. "
        f"What makes a ±: ccassist show {job} --all. To print the draft: ccassist order {job} --out order.pdf"
    )
