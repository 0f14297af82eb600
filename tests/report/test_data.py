"""Any record as plain data: keys are the names of fields, and nothing that JSON cannot say."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass

from ccassist.report.data import to_csv, to_json, value_cells, value_heads
from ccassist.values.display import formatter
from ccassist.values.measured import computed, value_to_dict
from ccassist.vocabulary.units import Origin

METRIC, IMPERIAL = formatter("metric"), formatter("imperial")
GAP = computed("deck_clearance", -0.254e-3)


@dataclass(frozen=True, kw_only=True)
class Inner:
    size: float
    origin: Origin


@dataclass(frozen=True, kw_only=True)
class Outer:
    names: tuple[str, ...]
    inner: list[Inner]
    values: dict[str, object]
    nothing: None = None
    held: bool = True


def test_a_record_is_its_fields_all_the_way_down() -> None:
    inner = [Inner(size=math.nan, origin=Origin.MEASURED), Inner(size=math.inf, origin=Origin.COMPUTED)]
    data = to_json(Outer(names=("a", "b"), inner=inner, values={"deck_clearance": GAP, "n": 3}), METRIC, version=2)
    assert list(data) == ["format", "names", "inner", "values", "nothing", "held"]
    assert data["format"] == 2
    assert data["inner"] == [{"size": None, "origin": Origin.MEASURED}, {"size": None, "origin": Origin.COMPUTED}]
    assert data["values"] == {"deck_clearance": value_to_dict(GAP, METRIC), "n": 3}
    assert (data["names"], data["nothing"], data["held"]) == (["a", "b"], None, True)
    assert json.loads(json.dumps(data, allow_nan=False)) == data


def test_cells_are_in_the_unit_shown_and_their_sign_stands_in_the_head() -> None:
    """0.254 mm is 10 thou exactly (NIST SP 811 (2008), B.8: 1 in = 25.4 mm)."""
    assert value_cells(GAP, METRIC) == ("-0.254", "0")
    assert value_cells(GAP, IMPERIAL) == ("-10", "0")
    assert value_cells(None, METRIC) == ("", "")
    head, spread = value_heads("deck_clearance", IMPERIAL)
    assert head == "deck clearance, thou (− is above deck)"
    assert spread == "± deck clearance"


def test_a_table_quotes_what_it_must() -> None:
    assert to_csv(["a", "b"], [[1, 'x, "y"']]) == 'a,b\n1,"x, ""y"""\n'
