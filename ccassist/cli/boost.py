"""``ccassist boost``: static, trapped and boosted side by side, each named by its meaning, and against the baseline."""

from __future__ import annotations

from collections.abc import Container
from pathlib import Path

from ccassist.analysis.results import survey_of
from ccassist.boost.cautions import beside
from ccassist.boost.equivalents import KNOCK, Convention
from ccassist.boost.levers import GENERAL
from ccassist.cli.screen import list_findings, say, say_json, table, unsure, wrapped
from ccassist.job.outputs import check_output
from ccassist.plan.boost import words
from ccassist.plan.boost.build import equivalent_lines, natural_line
from ccassist.plan.boost.solve import Levers, levers_of
from ccassist.plan.boost.story import BoostStory, CylinderStory, boost_story
from ccassist.values.display import METRIC, Formatter, formatter
from ccassist.values.findings import Finding, InputError, clean, errors
from ccassist.values.measured import Result, Value
from ccassist.values.verdict import Verdict, decide
from ccassist.vocabulary import term
from ccassist.vocabulary.enumerations import Origin

# Knock on the screen: an octane difference from the baseline with what makes its interval, or why there is none.


def print_knock(story: BoostStory) -> None:
    """The comparison with the baseline."""
    knock = story.knock
    say()
    say("Knock, as a comparison with the baseline only")
    if knock is None:
        wrapped(words.NOT_COMPARED, first="  ")
        return
    if knock.difference is None:
        for finding in knock.refused:
            wrapped(f"not compared: {finding.text()}", first="  ", rest="    ")
        return
    drawn = f"drawn: {words.drawn_text()}"
    for text in (
        words.against_text(story),
        words.difference_text(knock),
        words.made_text(knock),
        drawn,
        words.share_text(knock),
    ):
        wrapped(text, first="  ", rest="    ")
    list_findings(knock.findings)


# The table of what a boosted ratio is worth without boost, each line named by what it holds equal.


def print_worth(story: BoostStory, fmt: Formatter) -> None:
    """Every cylinder first, then the one with the highest ratio beside the baseline."""
    able = [one for one in story.cylinders if one.build is not None and one.build.equivalents]
    if not able:
        return
    say()
    say("Static ratio that an unboosted engine would need for the same …")
    rows = []
    for one in able:
        assert one.build is not None
        rows.append([str(one.number), *(words.figure_text(line, fmt) for line in equivalent_lines(one.build, None))])
    table(["cyl", "density", "end pressure", "end temperature", "(square root)"], rows)
    wrapped(words.unboosted_text(fmt), first="  ", rest="    ")
    _print_beside(story, fmt)


def _print_beside(story: BoostStory, fmt: Formatter) -> None:
    """One line a convention: this engine, the baseline, the difference; then what it means."""
    worst = story.worst_one
    if worst is None or worst.build is None:
        return
    say()
    against = words.baseline_text(story, fmt)
    wrapped(f"Cylinder {worst.number}" + (" beside the baseline:" if against else "; there is no baseline beside it:"))
    if against:
        wrapped(against, first="  ", rest="      ")
    for line in equivalent_lines(worst.build, story.baseline):
        baseline = words.baseline_figure(story, line.convention, fmt)
        _print_line(line.convention, words.figure_text(line, fmt), baseline, words.harder_text(line.harder))
    natural = None if story.knock is None else natural_line(story.knock)
    if natural is not None:
        _print_line(KNOCK, words.natural_text(natural), "", words.naturally_harder(natural))


def _print_line(convention: Convention, figure: str, baseline: str, harder: str) -> None:
    parts = [figure, f"baseline {baseline}" if baseline else "", harder]
    wrapped(f"{convention.name}: {'; '.join(part for part in parts if part)}", first="  ", rest="      ")
    source = "" if convention.source == "definition" else f" ({convention.source})"
    wrapped(f"means: {convention.meaning}{source}", first="      ", rest="        ")
    wrapped(f"misleads: {convention.misleads}", first="      ", rest="        ")


RATIOS, ENDS = ("static_ratio", "trapped_ratio"), ("end_pressure", "end_temperature")
_OWN = ("cam.",)  # contradictions of the cam card are shown with the figures, not instead of them


def run(
    file: Path,
    *,
    system: str | None,
    as_json: bool,
    with_curve: bool,
    out: Path | None = None,
    page: str = "A4",
    on_screen: bool = True,
    force: bool = False,
) -> int:
    """Print the story of a job's boost, on pages too where asked; 1 where statements of the cam contradict."""
    if out is not None:
        check_output(out, "--out", file, force=force)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    story = boost_story(survey, system=fmt.system)
    faults = [f for f in errors(story.findings) if not f.place.startswith(_OWN)]
    if faults:
        raise InputError(faults)
    if as_json:
        say_json(story.to_dict(fmt.system))
    elif on_screen:
        _print(story, fmt, with_curve)
        _print_next(story, file, out)
    if out is not None:
        from ccassist.paper.boost_pages import write_boost

        pages = write_boost(story, out, page=page, system=fmt.system)
        say(f"Wrote {clean(str(out), 300)}, {pages} page{'s' if pages > 1 else ''} {page}.", error=as_json)
    return 1 if errors(story.findings) else 0


def warn(figures: str) -> None:
    """The cautions that stand beside a group of figures."""
    for caution in beside(figures):
        wrapped(caution, first="  ! ", rest="    ")


def _print(story: BoostStory, fmt: Formatter, with_curve: bool) -> None:
    say(clean(story.survey.job.name or story.survey.job.file, 79))
    say(words.PLANNING)
    _print_ratios(story, fmt)
    if with_curve:
        _print_curve(story, fmt)
    if story.conditions is not None:
        _print_charge(story, fmt)
        _print_compression(story, fmt)
        print_worth(story, fmt)
        warn("equivalents")
        print_knock(story)
        warn("knock")
    elif story.running is None:
        say()
        wrapped(words.NO_CHARGE)
    unsure(results_of(story), fmt)
    say()
    warn("all")
    _print_findings(story.findings)


def _print_ratios(story: BoostStory, fmt: Formatter) -> None:
    """Static, trapped and boosted of every cylinder, and what each means."""
    say()
    shown = [*RATIOS, *(ENDS if story.conditions is not None else ())]
    rows = [[str(one.number), *(_cell(one, key, fmt) for key in shown)] for one in story.cylinders]
    table(["cyl", *(words.SHORT.get(key, term(key).name) for key in shown)], rows)
    for key in shown:
        wrapped(f"{words.SHORT.get(key, term(key).name)}: {term(key).meaning}", first="  ", rest="    ")
    closing = words.closing_text(story, fmt)
    if closing:
        wrapped(closing, first="  ", rest="    ")
    for one in story.cylinders:
        if one.earliest is not None and one.latest is not None:
            ends = [fmt.value(end) for end in (one.earliest, one.latest)]
            said = f"cylinder {one.number} over the phasing: trapped ratio {ends[0]} fully advanced, {ends[1]} fully"
            wrapped(f"{said} retarded", first="  ", rest="    ")
    if story.conditions is not None and story.card.phased("intake"):
        wrapped(words.AS_READ, first="  ", rest="    ")
    lacking = dict.fromkeys(key for one in story.cylinders for key in one.lacking)
    if lacking:
        wrapped(f"not given: {', '.join(term(key).name for key in lacking)}{_how(lacking)}", first="  ", rest="    ")
    if story.worst is not None and len(story.cylinders) > 1:
        wrapped(f"highest ratio at the unfavourable end of its ±: cylinder {story.worst}", first="  ", rest="    ")
    warn("trapped")


def _how(lacking: Container[str]) -> str:
    """Where the closing comes from: without it nothing beyond the static ratio can be told."""
    if "intake_closing" not in lacking:
        return ""
    return "; degree it, or take it from the cam card, with the lift at which it was read, under [cam]"


def results_of(story: BoostStory) -> list[Result]:
    """The ratios and ends of every cylinder that are shown with a ±."""
    able = [one for one in story.cylinders if one.build is not None]
    found = [(f"cylinder {one.number}", one.static_ratio) for one in story.cylinders if one.static_ratio is not None]
    keys = [key for key in (*RATIOS, *ENDS) if key != "static_ratio"]
    return [
        *found,
        *((f"cylinder {one.number}", one.build.values[key]) for key in keys for one in able
          if one.build is not None and key in one.build.values),
    ]  # fmt: skip


def _cell(one: CylinderStory, key: str, fmt: Formatter) -> str:
    values = {} if one.build is None else one.build.values
    value = one.static_ratio if key == "static_ratio" else values.get(key)
    return "not known" if value is None else fmt.value(value)


def _print_curve(story: BoostStory, fmt: Formatter) -> None:
    """Trapped ratio against intake closing."""
    if not story.curve:
        return
    say()
    wrapped(
        f"Trapped ratio of cylinder {story.worst} against intake closing, {story.lift_basis}; ± without that of the "
        "closing:"
    )
    rows = [[fmt.show("intake_closing", at.intake_closing), fmt.value(at.trapped_ratio)] for at in story.curve]
    table(["intake closing", "trapped ratio"], rows)


def _print_charge(story: BoostStory, fmt: Formatter) -> None:
    """What is stated, assumed and worked out of the charge."""
    say()
    say("The charge as stated:")
    _list(story.chosen, fmt)
    assert story.running is not None
    for key, said in story.running.said.items():
        wrapped(f"{key.replace('_', ' ')}: {clean(said, 60)}", first="  ", rest="      ")
    say()
    say("Assumed, because nothing is stated:")
    _list(story.assumed, fmt)
    for key, said in story.running.taken.items():
        wrapped(f"{key.replace('_', ' ')}: {said} (assumed)", first="  ", rest="      ")
    _print_pressures(story, fmt)
    build = None if story.worst_one is None else story.worst_one.build
    if build is not None and build.compressed is not None:
        say()
        say(f"The charge of cylinder {story.worst}, worked out:")
        _list(build.compressed.charge.computed, fmt)
    warn("charge")


def _list(values: tuple[Value, ...], fmt: Formatter) -> None:
    for value in values:
        origin = value.origin if value.origin != Origin.COMPUTED else ""
        why = ": ".join(part for part in (origin, words.how_text(value)) if part)
        wrapped(f"{term(value.key).name} {words.stated_text(value, fmt)} ({why})", first="  ", rest="      ")


def _print_pressures(story: BoostStory, fmt: Formatter) -> None:
    """Absolute manifold pressure, from what, and what the pressure ratio counts from."""
    conditions = story.conditions
    assert conditions is not None
    barometer, manifold = conditions.values["barometer"], conditions.values["manifold_pressure"]
    say()
    wrapped(f"Barometer used: {fmt.value(barometer)} ({clean(barometer.how or barometer.origin, 120)}).")
    wrapped(
        f"Manifold pressure: {fmt.value(manifold)} absolute ({clean(manifold.how, 120)}). Reference of "
        f"the pressure ratio: {words.reference_text(fmt)}.",
        rest="  ",
    )


def _print_compression(story: BoostStory, fmt: Formatter) -> None:
    """How the end of compression is worked out, and the same by one constant exponent."""
    conditions = story.conditions
    assert conditions is not None
    able = [(one.number, one.build) for one in story.cylinders if one.build is not None]
    if not able:
        return
    exponent = conditions.values["polytropic_exponent"]
    say()
    wrapped(
        f"End of compression above: motored, absolute, along the isentrope of {words.gas_text(story)}, heat capacity "
        f"by temperature. Beside it by one constant exponent, n = {fmt.value(exponent)} ({exponent.origin}):"
    )
    rows = []
    for number, build in able:
        equal = build.values.get("effective_exponent")
        cells = [fmt.value(build.polytropic[key]) for key in ENDS]
        rows.append([str(number), *cells, "none" if equal is None else fmt.value(equal)])
    table(["cyl", "end pressure by n", "end temperature by n", "n of the same end pressure"], rows)
    warn("compression")


def _print_next(story: BoostStory, file: Path, out: Path | None) -> None:
    """What to do next: where to say what is lacking, how to find what must change, and how to print it."""
    job = clean(str(file), 200)
    steps = [f"what is lacking or only assumed is said under [cam], [charge], [baseline]: ccassist guide {job}"]
    band = story.survey.wanted.get("static_ratio")
    known = [one.static_ratio for one in story.cylinders if one.static_ratio is not None]
    if band is not None and any(decide(v, band) is Verdict.OUTSIDE for v in known):
        aim = METRIC.show("static_ratio", band.aim)
        solve = f"ccassist solve {job} --for crown_volume --to static_ratio={aim}"
        steps.append(f"a crown for the static ratio wanted: {solve}")
    if story.conditions is not None:
        steps.append(f"what must change for a target: ccassist boost {job} --for crown_volume --to octane_difference=0")
        steps.append(f"what a step of each lever does: ccassist boost {job} --levers")
    if out is None:
        steps.append(f"to print it, with curve and maps: ccassist boost {job} --out boost.pdf")
    say()
    say("What next")
    for step in steps:
        wrapped(step, first="  ", rest="    ")


def _print_findings(findings: tuple[Finding, ...]) -> None:
    if findings:
        say()
        list_findings(findings)


# ``ccassist boost --levers``: what one step of each lever does to every figure, and what it costs.


def run_levers(
    file: Path, *, system: str | None, as_json: bool, out: Path | None = None, page: str = "A4", force: bool = False
) -> int:
    """Print what each lever does to the cylinder whose ratio may be the highest, on pages too where asked."""
    if out is not None:
        check_output(out, "--out", file, force=force)
    survey = survey_of(file)
    fmt = formatter(system or survey.job.system)
    made = levers_of(survey, fmt.system)
    if as_json:
        say_json(made.to_dict())
    else:
        _print_levers(made, fmt)
    if out is not None:
        from ccassist.paper.boost_pages import write_levers

        pages = write_levers(made, out, page=page, system=fmt.system)
        say(f"Wrote {clean(str(out), 300)}, {pages} page{'s' if pages > 1 else ''} {page}.", error=as_json)
    return 0


def _print_levers(made: Levers, fmt: Formatter) -> None:
    say(clean(made.story.survey.job.name or made.story.survey.job.file, 79))
    wrapped(words.lead_text(made))
    keys = words.lever_keys(made)
    say()
    table(["", *(words.LEVER_SHORT[key] for key in keys)], words.lever_rows(made, fmt))
    for text in (words.units_text(keys, fmt), *words.lever_notes(made, fmt)):
        wrapped(text, rest="  ")
    say()
    for effect in made.effects:
        wrapped(words.price_text(effect), rest="  ")
    say()
    for text in GENERAL:
        wrapped(text, first="- ", rest="  ")
    say()
    for caution in made.cautions:
        wrapped(caution, first="  ! ", rest="    ")
