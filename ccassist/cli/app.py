"""The program, how its commands are declared, and the options that several of them take.

A run declares its own command only, and imports that command's work when it
starts: reading the options of all commands takes longer than the work of most.
"""

from __future__ import annotations

import gc
import os
import re
import sys
from collections.abc import Callable, Iterator, MutableMapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer import Abort
from typer.core import TyperGroup
from typer.main import get_command

from ccassist.values.findings import CcassistError, InputError, error

if TYPE_CHECKING:
    from ccassist.cli.screen import Showing


# The commands in the order of the work: the module that declares each, and the wish that it serves.
COMMANDS: dict[str, tuple[str, str]] = {
    "ratio": ("app_engine", "What is my ratio? A few dimensions, no file."),
    "new": ("app_bench", "Start a job file."),
    "guide": ("app_bench", "Measure: step by step, each reading saved."),
    "phone": ("phone", "The same on a phone or tablet beside the head."),
    "record": ("app_bench", "Take one reading, a filled form or a table."),
    "readings": ("app_bench", "List every reading, or write them as a table."),
    "check": ("app_bench", "What is wrong or doubtful in a job file?"),
    "calibrate": ("app_bench", "What does an improvised burette deliver?"),
    "show": ("app_engine", "The engine as measured, each value with its ±."),
    "compare": ("app_engine", "Are these two the same?"),
    "solve": ("app_engine", "Which dish, gasket or cut gives my ratio?"),
    "worksheet": ("app_engine", "Print the worksheet, or blank bench forms."),
    "balance": ("app_plan", "How do I make the cylinders alike?"),
    "combine": ("app_plan", "Which of my parts go together best?"),
    "alternatives": ("app_plan", "Which build? Whole builds side by side."),
    "tolerance": ("app_plan", "What band to expect, and what must be held?"),
    "machine": ("app_plan", "What does a skim or another gasket do?"),
    "order": ("app_plan", "Which piston to order? Its maker's sheet."),
    "cam": ("app_plan", "The cam card; how near do the valves come?"),
    "boost": ("app_plan", "What does boost make of the ratio?"),
}
ASKING = ("new", "guide", "phone", "record")  # they ask: nothing of theirs waits for a window to be read
LOOKS: dict[str, Any] = {
    "rich_markup_mode": None,
    "pretty_exceptions_enable": False,
    "context_settings": {"help_option_names": ["-h", "--help"], "max_content_width": 100},
}
DECLARED: dict[str, typer.Typer] = {}  # so far, by name


def command(epilog: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Declare a function as the command of its name; ``epilog`` : its example."""

    def declare(work: Callable[..., None]) -> Callable[..., None]:
        DECLARED[work.__name__] = alone = typer.Typer(add_completion=False, **LOOKS)
        return alone.command(epilog=epilog)(work)

    return declare


class _Commands(MutableMapping[str, Any]):
    """Each command by its name, made when it is first asked for."""

    def __init__(self) -> None:
        self.made: dict[str, Any] = {}

    def __getitem__(self, name: str) -> Any:
        return self.made[name] if name in self.made else _made(name)

    def __setitem__(self, name: str, made: Any) -> None:
        self.made[name] = made

    def __delitem__(self, name: str) -> None:
        raise TypeError("a command stays")

    def __iter__(self) -> Iterator[str]:
        return iter(COMMANDS)

    def __len__(self) -> int:
        return len(COMMANDS)


@cache
def _made(name: str) -> Any:
    """A command of those above, which keeps nothing of a run, so that one serves all runs in a process."""
    import_module(f"ccassist.cli.{COMMANDS[name][0]}")
    return get_command(DECLARED[name])


class Program(TyperGroup):
    """The group of all commands."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = _Commands()

    def format_commands(self, ctx: Any, formatter: Any) -> None:
        """Every command by the wish that it serves, whole; none is declared for it."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, wish) for name, (_, wish) in COMMANDS.items()])


app = typer.Typer(
    name="ccassist",
    cls=Program,
    **LOOKS,
    help="Compression and chamber volumes from bench readings: each cylinder's ratio with its ±, any unknown solved, "
    "and a worksheet to print. Everything stays on this machine, in one job file that you can edit by hand.\n\n"
    "Start with: ccassist new myengine.toml",
)


def whole_number(option: str) -> Callable[[object], int]:
    """A reader of whole numbers, which names its option in what it says of others."""

    def read(text: object) -> int:
        return whole(str(text), option)

    return read


JobFile = Annotated[Path, typer.Argument(metavar="FILE", help="The job file.", show_default=False)]
Units = Annotated[
    str | None,
    typer.Option(
        "--units", metavar="metric|imperial", help="Show in these units, not the job's own.", show_default=False
    ),
]


def numbered(option: str, words: str, metavar: str = "NUMBER") -> Any:
    """An option that takes a whole number; one that nobody gives has nothing to show as its usual."""
    return typer.Option(option, metavar=metavar, parser=whole_number(option), help=words)


def taking(option: str, metavar: str, words: str) -> Any:
    """An option that takes a value of its own kind; one that nobody gives has nothing to show as its usual."""
    return typer.Option(option, metavar=metavar, help=words, show_default=False)


def worded(metavar: str, words: str) -> Any:
    """An option that takes words, such as a name or a reason: left out, or words."""

    def said(asked: typer.Context, option: typer.CallbackParam, text: str | None) -> str | None:
        source = asked.get_parameter_source(option.name or "")
        if text is not None and not text.strip() and source is not None and source.name == "COMMANDLINE":
            wrong, right = "nothing stands in the quotes", "give it, or leave it out"
            raise InputError(error("missing-value", wrong, place=option.opts[0], right=right))
        return text

    return typer.Option(metavar=metavar, help=words, callback=said)


OneCylinder = Annotated[int | None, numbered("--cylinder", "Only this cylinder.")]
Page = Annotated[
    str | None,
    typer.Option("--page", metavar="A4|Letter", help="Page size; A4 where it is not said.", show_default=False),
]
Out = Annotated[Path | None, taking("--out", "FILE.pdf", "Print it to pages too, a PDF.")]
TakeOver = Annotated[bool, typer.Option("--take-over", help="Write although another machine has left the file locked.")]
Force = Annotated[bool, typer.Option("--force", help="Replace a file there that this tool did not make.")]
Everything = Annotated[bool, typer.Option("--all", help="All rows, and what supports them.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON, in SI units.")]


def checked_units(units: str | None) -> str | None:
    """The system asked for, or None. Raises InputError: there is no such system."""
    from ccassist.vocabulary.units import SYSTEMS

    if units is not None and units not in SYSTEMS:
        raise InputError(
            error("unknown-units", "unknown units", read=units, right="say metric or imperial", place="--units")
        )
    return units


def checked_page(page: str | None, *, printed: bool = True) -> str:
    """The page size asked for, or the usual one; ``printed`` : whether anything is.

    Raises InputError: there is no such size, or nothing is printed.
    """
    if page is None:
        return "A4"
    from ccassist.paper.sheet import check_page

    check_page(page)
    if not printed:
        wrong = "--page would do nothing without --out"
        raise InputError(error("half-a-question", wrong, right="say with --out where to print"))
    return page


def showing(
    units: str | None,
    as_json: bool = False,
    everything: bool = False,
    *,
    out: Path | None = None,
    page: str | None = None,
    force: bool = False,
    printed: bool | None = None,
) -> Showing:
    """How an answer is shown, as the options say; ``printed`` : whether there are pages, where ``out`` does not say it.

    Raises InputError: as :func:`checked_units` and :func:`checked_page`.
    """
    from ccassist.cli.screen import Showing

    size = checked_page(page, printed=out is not None if printed is None else printed)
    system = checked_units(units)
    return Showing(system=system, as_json=as_json, everything=everything, out=out, page=size, force=force)


def not_together(option: str, **others: object) -> None:
    """Refuse options that another one makes idle: what is asked for must not be passed over in silence.

    ``others`` : option without its dashes -> what was given for it; "" , None, False or nothing where it was not.

    Raises InputError: one was given.
    """
    idle = [f"--{name}" for name, given in others.items() if given not in (None, False, "", [])]
    if idle:
        wrong = f"{' and '.join(idle)} would do nothing beside {option}"
        raise InputError(error("half-a-question", wrong, right="give one or the other"))


@app.callback(invoke_without_command=True)
def common(
    asked: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and stop.")] = False,
) -> None:
    """Options of the program itself."""
    if asked.invoked_subcommand is None and not version:
        typer.echo("ccassist COMMAND --help says how each is used.", err=True)
        for name, (_, wish) in COMMANDS.items():
            typer.echo(f"{name:<{max(map(len, COMMANDS))}} {wish}", err=True)
        raise typer.Exit(2)
    if version:
        from importlib.metadata import version as installed

        typer.echo(f"ccassist {installed('ccassist')}")
        raise typer.Exit
    if asked.invoked_subcommand not in ASKING:
        from ccassist.cli.screen import window

        window.open()


# Slips of the command line itself, such as an option that is not there: one line each, as of everything else.
# What the reader of the command line raises for every one of them; it has no public name of its own.
Slip: type[Exception] = typer.BadParameter.__bases__[0]
_WHOLE = re.compile(r"[+-]?[0-9]{1,6}")


def in_a_line(slip: Exception) -> InputError:
    """A slip in the trade's words, with the command it was made in."""
    command = getattr(getattr(slip, "ctx", None), "command_path", "") or "ccassist"
    said = str(slip.format_message()) if hasattr(slip, "format_message") else str(slip)
    wrong, _, meant = said.partition(" Did you mean")
    right = f"did you mean{meant}" if meant else f"see {command} --help"
    return InputError(error("usage", wrong[:1].lower() + wrong[1:].rstrip("."), right=right, place=command))


def whole(text: str, place: str) -> int:
    """A whole number as an option says it.

    Raises InputError: it is none, or one of very many digits.

    >>> whole(" 12", "--top")
    12
    """
    if not _WHOLE.fullmatch(text.strip()):
        raise InputError(error("not-whole", "a whole number is expected", read=text, right="such as 1", place=place))
    return int(text)


# How the program runs and ends.


def program() -> None:
    """The process: what :func:`main` does, without looking for garbage among modules and records that all stay.

    It would take a tenth of a start, and at the end as much again, when everything goes with the process.
    """
    gc.set_threshold(100_000, 20, 20)
    try:
        main()
    finally:
        gc.freeze()


def main() -> None:
    """Run the program; every fault ends in clear lines and an exit code, never in a traceback."""
    try:
        sys.exit(app(prog_name="ccassist", standalone_mode=False))
    except (CcassistError, Slip) as fault:
        from ccassist.cli.screen import complain

        sys.exit(complain(fault if isinstance(fault, CcassistError) else in_a_line(fault)))
    except BrokenPipeError:
        sys.stderr.close()  # the reader went away: nothing more to say to it
        sys.exit(0)
    except (KeyboardInterrupt, Abort):
        sys.exit(130)
    except Exception as fault:
        if "CCASSIST_TRACEBACK" in os.environ:
            raise
        from ccassist.cli.screen import own_fault

        sys.exit(own_fault(fault))
    finally:
        _say_doubts()


def _say_doubts() -> None:
    """What of the saves of this run is to be said, where it saved anything and nobody has said it yet."""
    disk = sys.modules.get("ccassist.job.disk")
    for finding in disk.doubts() if disk is not None else ():
        from ccassist.cli.screen import say

        say(finding.text(), error=True)
