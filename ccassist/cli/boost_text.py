"""What the parts of the boost screen share: cautions beside figures, and stated values."""

from __future__ import annotations

from ccassist.boost.cautions import beside
from ccassist.cli.screen import wrapped
from ccassist.display import show_value
from ccassist.measured import Value
from ccassist.terms import Kind, term


def warn(figures: str) -> None:
    """The cautions that stand beside a group of figures."""
    for caution in beside(figures):
        wrapped(caution, first="  ! ", rest="    ")


def stated_text(value: Value, system: str) -> str:
    """As printed; an exact pure number as short as it is."""
    exact = term(value.key).kind is Kind.RATIO and value.expanded == 0
    return f"{value.nominal:g}" if exact else show_value(value, system=system)
