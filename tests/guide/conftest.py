"""What several sittings of the guide begin with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.guide.sitting import Sitting
from tests.guide.test_session import SYRINGE


@pytest.fixture
def syringe(tmp_path: Path) -> Iterator[Sitting]:
    """At the first fill by syringe."""
    found = Sitting(tmp_path / "heads.toml")
    found.type(*SYRINGE)
    yield found
    found.file.close()
