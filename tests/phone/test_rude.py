"""A device that taps anything and types anything: every page comes, no fault, and the file stays sound."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from ccassist.job.file import load
from tests.phone.page import Shop, forms_of
from tests.phone.test_posts import HEADS

TYPED = (
    *("0.1", "46.3", "46,2", "9.9", "49.9", "60", "1", "0", "", " ", "4x", "-3", "+-", "1e9", "46.2 cc", "0.20 below"),
    *("1 5/16 in", "33 thou", "0; 0.1", "60; 12", "water", "burette 50 ml class B", "syringe 60 ml", "deck 2", "yes"),
    *(
        "unit ml",
        "chamber new shim",
        "saw a bubble",
        "1.30 mm, maker's figure",
        "<b>",
        "a=b",
        "\t",
        "x" * 600,
        "?",
        "é",
    ),
)


@pytest.mark.parametrize(("seed", "text"), [(1, None), (2, HEADS), (3, HEADS)])
def test_anything_tapped_and_typed(tmp_path: Path, seed: int, text: str | None) -> None:
    chance, shop = random.Random(seed), Shop(tmp_path / "job.toml", text)
    phone = shop.device()
    for _ in range(40):
        if chance.random() < 0.2:
            assert phone.get(chance.choice(["/", "/read", "/how", "/more"])).status == 200
        forms = [form for form in forms_of(phone.page) if form.buttons]
        if not forms:
            phone.get("/read")
            continue
        form = chance.choice(forms)
        fields = {name: chance.choice(TYPED) if name[:2] == "v." else said for name, said in form.fields.items()}
        fields |= {f"s.{name[2:]}": chance.choice(["plus", "minus", "odd"]) for name in fields if name[:2] == "v."}
        name, value = chance.choice(form.buttons)
        answer = phone.post("/do", {**fields, name: value})
        assert answer.status == 200, (fields, value)
        assert not shop.faults, (fields, value)
        if shop.path.exists():
            load(shop.path)
