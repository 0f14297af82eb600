"""What the space at top dead centre is made of: the sums that add exactly as printed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from reportlab.platypus import Flowable

from ccassist.analysis.cylinder import Cylinder
from ccassist.analysis.sums import TOTAL, Addition, addition, guarded, parts_of, printed
from ccassist.analysis.wording import cylinders_in_words, listed
from ccassist.engine.relations import Relation
from ccassist.paper.figures import bare, doubt_words
from ccassist.paper.floating import Floating
from ccassist.paper.furniture import Cell, Entry, Line, heading, prose, subheading, table
from ccassist.paper.sheet import GREY, SLANT, SMALL, STRONG, Sheet
from ccassist.paper.workings import Working, formula, is_identity, relations_met, worked
from ccassist.vocabulary import term

ACROSS = 8  # cylinders side by side in a sum
LONGEST_WHOLE = 6  # rows of one relation that are kept on one page


def _sums(sheet: Sheet) -> list[tuple[Cylinder, Addition]]:
    cylinders = sheet.survey.cylinders
    decimals = guarded(cylinders, sheet.system)
    found = ((c, addition(c, decimals, sheet.system)) for c in cylinders)
    return [(c, a) for c, a in found if a is not None]


def _keys(sums: Sequence[tuple[Cylinder, Addition]]) -> list[str]:
    """The parts met, without those that are nothing for every cylinder."""
    met = dict.fromkeys(key for _, a in sums for key in a.parts)
    return [key for key in met if any(a.parts.get(key) and key not in c.model.fixed for c, a in sums)]


def _part(key: str, one: Addition, cylinder: Cylinder) -> str:
    """One part as it enters the sum; signed where the trade could mistake it or where it is taken out."""
    if key not in one.parts:
        return "–"
    return printed(one.parts[key], signed=term(key).sign is not None or parts_of(cylinder)[key] < 0)


def parts_table(sheet: Sheet, *, counting: bool = True) -> list[Flowable]:
    """The sum of each cylinder in a row; ``counting``: say below it what the builder's choice counts."""
    sums = _sums(sheet)
    if not sums:
        return []
    keys = _keys(sums)
    each = (sheet.width - 50) / (len(keys) + 1)
    rows: list[list[Entry]] = [
        [str(c.number), *(_part(key, a, c) for key in keys), Cell(Line(printed(a.total), STRONG))] for c, a in sums
    ]
    head: list[Entry] = [
        "cylinder",
        *(Cell(Line(term(key).name, STRONG)) for key in keys),
        Cell(Line(f"= {term(TOTAL).name}", STRONG)),
    ]
    made = Floating(
        "What the clearance volume is made of",
        *subheading("What the clearance volume is made of, cc"),
        table(head, rows, [50.0, *([each] * (len(keys) + 1))]),
        prose(_words(sheet, keys), SLANT, SMALL, shade=GREY),
        *(_counted(sheet) if counting else []),
    )
    return [made]


def _words(sheet: Sheet, keys: Sequence[str]) -> str:
    signs = [f"{term(k).name} + {s.plus[0]}, − {s.minus[0]}" for k in keys if (s := term(k).sign) is not None]
    meaning = f" Signs: {'; '.join(signs)}." if signs else ""
    return f"Each row adds exactly as printed; the headline is this sum, rounded.{meaning}"


def _counted(sheet: Sheet) -> list[Flowable]:
    """What is counted, by the builder's choice, and what enters as nothing."""
    groups: dict[str, list[int]] = {}
    for c in sheet.survey.cylinders:
        relation = c.model.relation_of(TOTAL)
        if relation is None:
            continue
        said = [
            f"the {name} is {'counted' if on else 'not counted'}"
            for name, on in (("crevice", c.choices.crevice), ("chamfer", c.choices.chamfer))
        ]
        fixed = {key: c.model.fixed[key] for key in relation.needs if key in c.model.fixed}
        nothing = [f"{term(key).name} ({why})" for key, why in fixed.items() if why != "not counted"]
        words = f"{listed(said)}." + (f" Entered as nothing: {listed(nothing)}." if nothing else "")
        groups.setdefault(words, []).append(c.number)
    alone = len(groups) == 1
    return [
        prose(f"Counting{'' if alone else f', cylinders {cylinders_in_words(who)}'}: {words}")
        for words, who in groups.items()
    ]


# -- the hand sums ---------------------------------------------------------------------
def hand_sums(sheet: Sheet) -> list[Flowable]:
    """Every sum and every relation with its numbers put in."""
    cylinders = sheet.survey.cylinders
    relations = relations_met(cylinders)
    proper = [r for r in relations if not is_identity(r)]
    story = heading(sheet, "Sums, to be added again by hand")
    story += _columns(sheet)
    if not proper:
        return [*story, prose("Nothing is computed yet: too little is given.")]
    units = "centimetres (cm, cm², cc)" if sheet.system == "metric" else "inches (in, in², in³)"
    story.append(
        prose(
            f"Below, each equation once, then the numbers put in: in {units} where lengths and volumes meet. "
            "Numbers have as many digits as give the printed result again."
        )
    )
    story.append(_workings(sheet, proper))
    same = [f"{term(r.gives).name} = {term(r.needs[0]).name}" for r in relations if is_identity(r)]
    return [*story, *([prose(f"Taken over as they are: {'; '.join(same)}.")] if same else [])]


def _columns(sheet: Sheet) -> list[Flowable]:
    """The sum of volumes, one cylinder a column, total and headline below."""
    sums, story = _sums(sheet), []
    keys = _keys(sums)
    for start in range(0, len(sums), ACROSS):
        block = sums[start : start + ACROSS]
        rows: list[list[Entry]] = [[term(key).name, *(_part(key, a, c) for c, a in block)] for key in keys]
        rows.append([f"{term(TOTAL).name}, added", *(printed(a.total) for _, a in block)])
        rows.append(["headline, rounded", *(_headline(c, sheet.system) for c, _ in block)])
        label = 118.0
        each = min(66.0, (sheet.width - label) / len(block))
        story.append(
            table(
                ["volumes, cc", *(f"cyl. {c.number}" for c, _ in block)],
                rows,
                [label, *([each] * len(block))],
                breaks=(len(keys), len(keys) + 1),
                strong=(len(keys),),
                whole=[(0, len(keys) + 1)],
            )
        )
    return story


def _headline(cylinder: Cylinder, system: str) -> Cell:
    value = cylinder.values[TOTAL]
    number, _, spread = bare(value, system).partition(" ± ")
    below = f"± {spread}" if spread else doubt_words(value) or "exact"
    return Cell(Line(number), Line(below, shade=GREY))


def _workings(sheet: Sheet, relations: Sequence[Relation]) -> Flowable:
    """Each relation in symbols, then with numbers, cylinders with the same numbers together."""
    cylinders = sheet.survey.cylinders
    decimals = guarded(cylinders, sheet.system)
    rows: list[list[Entry]] = []
    titles: list[int] = []
    for relation in relations:
        titles.append(len(rows))
        rows.append(["", formula(relation), term(relation.gives).name, ""])
        rows += [
            _worked(numbers, working, len(cylinders))
            for numbers, working in worked(relation, cylinders, decimals, sheet.system)
        ]
    widths = [sheet.width * share for share in (0.1, 0.52, 0.165, 0.215)]
    return table(
        ["cylinder", "equation, numbers put in", "result", "that is"],
        rows,
        widths,
        words=(0, 1, 2, 3),
        breaks=titles[1:],
        strong=titles,
        spans=dict.fromkeys(titles, (2, 3)),
        whole=[(n, end - 1 if end - n <= LONGEST_WHOLE else n + 1) for n, end in pairwise([*titles, len(rows)])],
    )


def _worked(numbers: Sequence[int], working: Working, everyone: int) -> list[Entry]:
    who = "all" if len(numbers) == everyone > 1 else cylinders_in_words(numbers)
    unit = f" {working.unit}" if working.unit else ""
    return [who, working.put_in, f"= {working.result}{unit}", f"= {working.shown}" if working.shown else ""]
