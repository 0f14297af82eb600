"""The package as a script uses it: the names it offers, the three jobs of its page, what importing it costs."""

from __future__ import annotations

import doctest
import json
import shutil
from pathlib import Path

import pytest

import ccassist

ROOT = Path(__file__).parents[1]


def test_every_public_name_is_there_and_described() -> None:
    assert ccassist.__all__ == sorted(ccassist._HOMES)
    for name in ccassist.__all__:
        assert getattr(ccassist, name).__doc__, name
    assert set(ccassist.__all__) <= set(dir(ccassist))
    with pytest.raises(AttributeError, match="no attribute 'nothing_of_it'"):
        ccassist.nothing_of_it  # noqa: B018


def test_no_public_name_is_hidden_by_a_module(tmp_path: Path) -> None:
    """Importing ``ccassist.x`` sets the attribute x of the package: none of the names may be one."""
    modules = {path.stem for path in (ROOT / "ccassist").iterdir()}
    assert not modules & set(ccassist.__all__)


def test_the_three_jobs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    done = doctest.testfile(str(ROOT / "examples" / "from-python.md"), module_relative=False, encoding="utf-8")
    assert done.attempted >= 12
    assert done.failed == 0
    assert (tmp_path / "pistons.pdf").read_bytes().startswith(b"%PDF")


def test_each_of_them_is_short() -> None:
    blocks = (ROOT / "examples" / "from-python.md").read_text(encoding="utf-8").split("```python\n")[1:]
    lengths = [
        sum(line.startswith((">>>", "...")) for line in block.partition("```")[0].splitlines()) for block in blocks
    ]
    assert len(lengths) == 3
    assert all(0 < length < 15 for length in lengths)


def test_every_result_is_plain_data() -> None:
    heads = ccassist.survey_of(ROOT / "examples" / "v8-heads.toml")
    engine = ccassist.survey_of(ROOT / "examples" / "three-pistons.toml")
    turbo = ccassist.survey_of(ROOT / "examples" / "turbo-four.toml")
    results = [
        heads,
        ccassist.balance(heads),
        ccassist.compared(heads, "chamber_volume"),
        ccassist.solved(engine, "crown_volume", {"static_ratio": 9.0}),
        ccassist.solved(engine, ("compression_height", "crown_volume"), {"squish": 1e-3, "static_ratio": "9.0"}),
        ccassist.order_of(engine),
        ccassist.boost_story(turbo),
        ccassist.boosted(turbo, "crown_volume", {"trapped_ratio": "7.5"}),
        ccassist.levers_of(turbo),
    ]
    for result in results:
        assert len(json.dumps(result.to_dict(), allow_nan=False)) > 100


@pytest.mark.parametrize(
    ("unknowns", "targets", "code"),
    [
        ("crown_volume", {}, "uneven-question"),
        (("crown_volume", "compression_height"), {"static_ratio": "9"}, "uneven-question"),
        ("crown_volum", {"static_ratio": "9"}, "unknown-term"),
        ("crown_volume", {"static_ratio": "9 cc"}, "wrong-unit"),
    ],
)
def test_errors_are_one_family_with_codes(unknowns: str, targets: dict[str, str], code: str) -> None:
    engine = ccassist.survey_of(ROOT / "examples" / "three-pistons.toml")
    with pytest.raises(ccassist.CcassistError) as caught:
        ccassist.solved(engine, unknowns, targets)
    assert caught.value.code == "input"
    assert [finding.code for finding in caught.value.findings] == [code]
