"""From the boxes of a filled form to readings, with the same checks as typing them.

Everything is looked at before anything is kept; see :mod:`ccassist.job.recording`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from ccassist.bench.forms import LEAKS, Form
from ccassist.bench.step import Field, Method
from ccassist.job.entry import settings_of, with_units
from ccassist.job.filled_form import FilledPage, Page, StatedPage, filled_pages
from ccassist.job.recording import Taken, Texts, placed
from ccassist.job.records import Job
from ccassist.values.asking import with_unit
from ccassist.values.findings import Finding, InputError, error, warning
from ccassist.values.quantity import doubtful, parse
from ccassist.vocabulary import term

PLAIN = ("instrument", "fluid", "by", "date", "state")


def read_form(path: Path, job: Job, *, other_job: bool = False) -> Taken:
    """The readings of a filled form that a job does not hold yet; ``other_job`` : also one that names another job.

    Raises InputError: the PDF cannot be read, names another job, or with every box that holds something unusable.
    """
    found, faults = Taken(), list[Finding]()
    pages = filled_pages(path)
    strange = next((page for page in pages if not page.is_of(job.name)), None)
    if strange is not None and not other_job:
        raise InputError(_of_another_job(strange, strange.form.key, path, job))
    for page in pages:
        if not page.filled:
            continue
        if isinstance(page, StatedPage):
            faults += [
                placed(f, path, f"page {page.number} ({page.form.key}) {f.place}") for f in _stated(page, job, found)
            ]
            continue
        try:
            header = _header(page, job)
            rows = list(_rows(page))
        except InputError as fault:
            faults += [placed(f, path, f"page {page.number}") for f in fault.findings]
            continue
        for place, repeat, typed in rows:
            where = _where(page, place, repeat)
            try:
                _take(page, job, header, (place, repeat, typed), where, found)
            except InputError as fault:
                faults += [placed(f, path, where) for f in fault.findings]
    if faults:
        raise InputError(faults)
    found.left = [placed(f, path, f.place) for f in found.left]
    found.unusual = [placed(f, path, f.place) for f in found.unusual]
    return found


def _of_another_job(page: Page, key: str, path: Path, job: Job) -> Finding:
    this = f'"{job.name}"' if job.name else "a job without a name"
    wrong = f'the form says job "{page.job}", and this is {this}'
    right = "take the form to its own job file; if it does belong here, add --other-job"
    return error("other-job", wrong, file=str(path), place=f"page {page.number} ({key})", right=right)


def _stated(page: StatedPage, job: Job, found: Taken) -> list[Finding]:
    """What a cam card or a piston to be copied says: looked at, and kept where the job does not say it yet."""
    faults: list[Finding] = []
    said: dict[tuple[str, str], str] = {}
    for section, key, word in page.starting("w"):
        if (section, key) in said:
            read = f"{said[section, key]}, {word}"
            faults.append(error("twice", "two boxes of one question are ticked", read=read, place=f"{section}.{key}"))
        said[section, key] = word
    for (section, key), text in page.starting("v").items():
        signs = [way for way in ("plus", "minus") if page.boxes.get(("s", section, key, way))]
        try:
            worded = _worded(text, key, key, signs)
            said[section, key] = with_unit(worded, key, system=page.system, sight=term(key).shown(page.system))
            unusual = doubtful(parse(said[section, key], key, system=page.system))
        except InputError as fault:
            faults += [f.at(place=f"{section}.{key}") for f in fault.findings]
            continue
        found.unusual += [unusual.at(place=f"{section}.{key}")] if unusual is not None else []
    return [*faults, *(f for (section, key), text in said.items() for f in found.state(job, section, key, text))]


def _where(page: FilledPage, place: str, repeat: str) -> str:
    row = "line" if page.form.by_line else "cylinder"
    said = f"{row} {place}" + ("" if page.form.by_line else f", reading {repeat}")
    return f"page {page.number} ({page.form.key})" + ("" if page.form.points else f", {said}")


def _header(page: FilledPage, job: Job) -> dict[str, str | int | Texts]:
    """Whose readings they are, with what, and how it was set up."""
    step = page.form.step
    head = {what[0]: text for what, text in page.starting("h").items()}
    said: dict[str, str | int | Texts] = {"step": step.key}
    if step.part:
        part = head.get("part", "") or (_only_part(page.form, job) if page.form.whole else "")
        if part:
            said["part"] = part
    said.update({key: head[key] for key in PLAIN if head.get(key)})
    typed = {what[0]: text for what, text in page.starting("t").items()}
    if head.get("temperature"):
        typed["temperature"] = head["temperature"]
    fields = settings_of(step)
    said.update(with_units(_split(typed), fields, page.system, _printed(fields, page.system)))
    said.update(_choices(page))
    if head.get("remark"):
        said["remark"] = head["remark"]
    return said


def _split(typed: Mapping[str, str]) -> dict[str, Texts]:
    """Several in one box, as the form says: with ; between, so that a comma is a decimal one."""
    return {name: tuple(part.strip() for part in text.split(";") if part.strip()) for name, text in typed.items()}


def _printed(fields: Mapping[str, Field], system: str) -> dict[str, str]:
    """The unit that each box has printed in it."""
    return {name: term(field.term).shown(system) for name, field in fields.items()}


def _only_part(form: Form, job: Job) -> str:
    """The one part of its kind, where the form does not name it."""
    names = [p.name for p in job.parts.values() if p.kind == form.step.part]
    if len(names) == 1:
        return names[0]
    right = f"write one of {', '.join(names)} in the box" if names else f"name a {form.step.part} in the job file first"
    raise InputError(error("missing-value", "the part is not named", right=right))


def _choices(page: FilledPage) -> dict[str, str]:
    """What was ticked, one word a question; a name where one is written."""
    found: dict[str, str] = {}
    for what, text in page.starting("c").items():
        name, word = what[0], what[1] if len(what) > 1 else text
        if name in found:
            words = next(c.words for c in page.form.choices if c.name == name)
            raise InputError(error("twice", f"two boxes are ticked: {words}", read=f"{found[name]}, {word}"))
        found[name] = word
    return found


def _rows(page: FilledPage) -> Iterator[tuple[str, str, dict[str, str]]]:
    """Every reading that was begun: its row, its repeat, field -> text with its sign in words."""
    if page.form.points:
        yield from _points(page)
        return
    begun: dict[tuple[str, str, str], dict[str, str]] = {}
    ticked = page.starting("s")
    for (place, repeat, name), text in page.starting("r").items():
        method = page.form.method_of(name).key
        signs = [key for key in ("plus", "minus") if ticked.pop((place, repeat, name, key), "")]
        begun.setdefault((place, repeat, method), {})[name] = _signed(text, name, page.form, signs)
    for place, repeat, name, _ in ticked:
        begun.setdefault((place, repeat, page.form.method_of(name).key), {})
    leak = _leak(page)
    for (place, repeat, method), typed in sorted(begun.items(), key=lambda item: (_number(item[0][0]), item[0][1:])):
        later = leak.pop((place, repeat), {}) if method == page.form.methods[0].key else {}
        yield place, repeat, {**typed, **later}
    if leak:
        raise InputError(error("not-understood", "the leak check names no reading that is filled in"))


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0


def _signed(text: str, name: str, form: Form, signs: list[str]) -> str:
    """A reading with the words of its ticked sign."""
    return _worded(text, name, form.step.fields[name].term, signs)


def _worded(text: str, name: str, key: str, signs: list[str]) -> str:
    """The text of a term with the words of a ticked sign."""
    sign = term(key).sign
    if sign is None or not signs:
        return text
    if len(signs) > 1:
        raise InputError(error("twice", "both signs are ticked", read=text, place=name))
    words = sign.plus if signs[0] == "plus" else sign.minus
    other = sign.minus if signs[0] == "plus" else sign.plus
    if any(word in text.lower() for word in other):
        raise InputError(error("contradiction", f'"{words[0]}" is ticked', read=text, place=name))
    return text if any(word in text.lower() for word in words) else f"{text} {words[0]}"


def _leak(page: FilledPage) -> dict[tuple[str, str], dict[str, str]]:
    """What was read again after one fill, by the row and repeat that it names."""
    said = page.starting("l")
    if not said:
        return {}
    place = said.get(("row",), "")
    repeat = "1" if page.form.by_line else said.get(("repeat",), "")
    if not place or not repeat:
        raise InputError(
            error("missing-value", "the leak check does not say of which fill", right="fill in its first boxes")
        )
    typed = {"fill_time": said.get(("fill_time",), "")}
    for name in ("settle", "settle_at"):
        listed = [said.get((name, str(n)), "") for n in range(1, LEAKS + 1)]
        typed[name] = "; ".join(text for text in listed if text)
    return {(place, repeat): {name: text for name, text in typed.items() if text}}


def _points(page: FilledPage) -> Iterator[tuple[str, str, dict[str, str]]]:
    """The points of one outline, as one reading."""
    method = page.form.methods[0]
    by_number: dict[int, dict[str, str]] = {}
    for (number, name), text in page.starting("p").items():
        by_number.setdefault(_number(number), {})[name] = text
    if not by_number:
        return
    for at, pair in by_number.items():
        if len(pair) < len(method.fields):
            raise InputError(error("incomplete-reading", f"point {at} lacks {_lacking(method, pair)}"))
    ordered = [by_number[n] for n in sorted(by_number)]
    place = "" if page.form.whole else "1"  # where the cylinder is written
    yield place, "1", {f.name: "; ".join(pair[f.name] for pair in ordered) for f in method.fields}


def _lacking(method: Method, typed: Mapping[str, str]) -> str:
    return " and ".join(f.words for f in method.fields if not f.optional and f.name not in typed)


def _take(
    page: FilledPage,
    job: Job,
    header: Mapping[str, str | int | Texts],
    reading: tuple[str, str, dict[str, str]],
    where: str,
    found: Taken,
) -> None:
    """Look at one reading; keep it where the job does not hold it yet."""
    place, repeat, typed = reading
    form = page.form
    method = form.method_of(next(iter(typed))) if typed else form.methods[0]
    lacking = _lacking(method, typed)
    if lacking:
        found.left.append(warning("incomplete-reading", f"left out: {lacking} not filled in", place=where))
        return
    whose = dict(header)
    if not form.whole:
        whose = {**{k: v for k, v in header.items() if k != "part"}, "cylinder": _cylinder(page, place)}
        whose.update({"part": header["part"]} if "part" in header and _several(form, job) else {})
    fields = form.step.fields
    row = dict(with_units(_split(typed), fields, page.system, _printed(fields, page.system)))
    box = f"{form.key} {place}/{repeat}" + (f"/{method.key}" if len(form.methods) > 1 else "")
    found.take(job, whose, row, box=box, where=where)


def _cylinder(page: FilledPage, place: str) -> int:
    """The cylinder of a row, or the one written in its line or over its points."""
    written = page.form.by_line or page.form.points
    text = page.boxes.get(("n", place), "") if written else place
    if not text:
        asked = "the page" if page.form.points else "the line"
        raise InputError(error("missing-value", f"{asked} does not say which cylinder"))
    if not _number(text):
        raise InputError(error("not-whole", "the cylinder is a whole number", read=text))
    return _number(text)


def _several(form: Form, job: Job) -> bool:
    """Whether a cylinder may have several parts of the kind, so that the part must be said beside it."""
    return sum(p.kind == form.step.part for p in job.parts.values()) > 1
