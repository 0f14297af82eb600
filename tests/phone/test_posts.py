"""One post, one reading: taken where what stands is what the form was made of; saved already; or beside what stands."""

from __future__ import annotations

import datetime
import errno
from pathlib import Path

import pytest

from ccassist.phone.sitting import ALREADY, DONE, ELSEWHERE, NOT_TYPED, NOT_UNDERSTOOD, OLDEST
from tests.phone.page import Device, Shop, forms_of

# An invented pair of heads, its first chamber read once by a burette.
HEADS = """\
format = 1
[job]
by = "Ida"
leave_out = "bore, stack, deck, crown, crown-bench, gasket, land"
[engine]
cylinders = 2
[[series]]
step = "chamber"
cylinder = 1
instrument = "burette 50 ml class B"
fluid = "water"
temperature = "20 degC"
plug = "fitted"
hole = "not filled"
readings = [
    { start = "0.10 cc", end = "46.20 cc", time = "11:40" },
]
"""


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """A shop whose first chamber is begun."""
    return Shop(tmp_path / "heads.toml", HEADS)


@pytest.fixture
def phone(shop: Shop) -> Device:
    """The device that writes, at the second fill."""
    one = shop.device()
    while not any("v.end" in form.fields for form in forms_of(one.page)):  # what of the set-up was never said
        one.tap("empty")
    return one


def ends(shop: Shop) -> list[str]:
    """What stands on the disk."""
    return [row["end"] for row in shop.rows]


def typed(phone: Device, start: str, end: str) -> dict[str, str]:
    """A filled form that is not posted yet."""
    return phone.form("save", v__start=start, v__end=end)


def test_a_reading_is_on_the_disk_when_the_post_is_answered(shop: Shop, phone: Device) -> None:
    phone.type(start="0.1", end="46.3")
    assert ends(shop) == ["46.20 cc", "46.3 cc"]
    assert "Saved 12:00" in phone.page


def test_a_double_tap_saves_once_and_says_so(shop: Shop, phone: Device) -> None:
    form = typed(phone, "0.1", "46.3")
    phone.post("/do", form)
    phone.post("/do", form)
    assert ends(shop) == ["46.20 cc", "46.3 cc"]
    assert ALREADY in phone.page


def test_sent_once_more_later_it_is_the_same_post(shop: Shop, phone: Device) -> None:
    form = typed(phone, "0.1", "46.3")
    phone.post("/do", form)
    phone.post("/do", {**form, "age": "90"})
    assert ALREADY in phone.page
    assert len(shop.rows) == 2


def test_back_and_save_again_with_another_value_is_asked(shop: Shop, phone: Device) -> None:
    old = typed(phone, "0.1", "46.3")
    phone.post("/do", old)
    phone.post("/do", {**old, "v.end": "46.4"})
    assert ends(shop) == ["46.20 cc", "46.3 cc"]
    assert ELSEWHERE in phone.page
    assert "46.4" in phone.page
    form = phone.form("keep")
    phone.post("/do", form)
    phone.post("/do", form)
    assert ends(shop) == ["46.20 cc", "46.3 cc", "46.4 cc"]
    assert ALREADY in phone.page


def test_of_several_that_were_not_taken_each_is_saved_or_dropped_by_itself(shop: Shop, phone: Device) -> None:
    """In the order in which they came, their values in the order of the reading; a second tap means no other."""
    old = typed(phone, "0.1", "46.3")
    phone.post("/do", old)
    for end in ("46.4", "46.5", "46.5", "46.6"):
        phone.post("/do", {**old, "v.end": end})
    assert "start 0.1, end 46.4" in phone.page
    assert [dict(one["pairs"])["v.end"] for one in shop.sitting.holds(shop.door.writer)] == ["46.4", "46.5", "46.6"]
    drop = phone.form("drop")
    phone.post("/do", drop)
    phone.post("/do", drop)
    assert "start 0.1, end 46.5" in phone.page
    phone.tap("keep")
    phone.post("/do", {**old, "v.end": "46.5"})
    assert ALREADY in phone.page
    assert "start 0.1, end 46.6" in phone.page
    phone.tap("drop")
    assert ends(shop) == ["46.20 cc", "46.3 cc", "46.5 cc"]


def test_what_was_not_taken_may_be_dropped(shop: Shop, phone: Device) -> None:
    old = typed(phone, "0.1", "46.3")
    phone.post("/do", old)
    phone.post("/do", {**old, "v.end": "46.4"})
    phone.tap("drop")
    assert "46.4" not in phone.page
    assert len(shop.rows) == 2


@pytest.mark.parametrize("end", ["keep", "drop"])
def test_after_a_restart_the_device_is_shown_again_what_was_not_taken(shop: Shop, phone: Device, end: str) -> None:
    form = typed(phone, "0.1", "46.5")
    phone.type(start="0.1", end="46.3")
    phone.post("/do", form)
    shop.file.close()
    again = Shop(shop.path)
    assert any("46.5" in line and "not taken" in line for line in again.printed)
    other = again.device()
    assert "46.5" not in other.page
    phone.shop = again
    phone.post("/enter", {"code": again.door.new_code(), "write": "yes"})
    assert "end 46.5" in phone.page
    again.file.close()
    third = Shop(shop.path)  # and once more, not answered yet
    phone.shop = third
    phone.post("/enter", {"code": third.door.new_code(), "write": "yes"})
    phone.tap(end)
    assert ends(third) == ["46.20 cc", "46.3 cc", *(["46.5 cc"] if end == "keep" else [])]
    assert "not saved" not in phone.page
    assert not third.sitting.beside.path.exists()


@pytest.mark.parametrize("text", ["", "{", "[]", '{"a": 1}', '{"a": [{}]}', '{"a": [{"typed": {"values": 1}}]}'])
def test_a_file_that_holds_no_posts_is_none(tmp_path: Path, text: str) -> None:
    path = tmp_path / "heads.toml"
    (tmp_path / ".heads.toml.typed").write_text(text)
    shop = Shop(path, HEADS)
    assert shop.device().page
    assert not shop.faults


def test_two_tabs(shop: Shop, phone: Device) -> None:
    other = typed(phone, "0.2", "46.5")
    phone.type(start="0.1", end="46.3")
    phone.post("/do", other)
    assert len(shop.rows) == 2
    assert "start 0.2" in phone.page
    assert any("46.5" in line and "not taken" in line for line in shop.printed)


def test_a_stamp_is_another_after_undo(shop: Shop, phone: Device) -> None:
    old = typed(phone, "0.1", "46.3")
    phone.post("/do", old)
    phone.tap("undo")
    assert ends(shop) == ["46.20 cc"]
    assert typed(phone, "0.1", "46.4")["stamp"] != old["stamp"]
    phone.post("/do", {**old, "v.end": "46.4"})
    assert ends(shop) == ["46.20 cc"]
    assert ELSEWHERE in phone.page


def test_a_double_tap_on_undo_takes_back_one_thing(shop: Shop, phone: Device) -> None:
    phone.type(start="0.1", end="46.3")
    phone.type(start="0.1", end="46.4")
    form = phone.form("undo")
    phone.post("/do", form)
    phone.post("/do", form)
    assert ends(shop) == ["46.20 cc", "46.3 cc"]
    assert DONE in phone.page


def test_saving_with_nothing_typed_does_nothing(shop: Shop, phone: Device) -> None:
    phone.type(start="0.1", end="46.3")
    phone.type()
    assert len(shop.rows) == 2
    assert NOT_TYPED in phone.page
    phone.type(start=" ", end="")
    assert len(shop.rows) == 2


def test_half_a_reading_is_not_taken(shop: Shop, phone: Device) -> None:
    before = shop.path.read_bytes()
    phone.type(start="0.1")
    assert shop.path.read_bytes() == before
    assert "end missing" in phone.page
    assert forms_of(phone.page)[-1].fields["v.start"] == "0.1"
    assert not shop.sitting.state.typed


@pytest.mark.parametrize(
    "fields",
    [
        {"do": "say", "text": "0.1"},
        {"do": "empty"},
        {"do": "save", "v.answer": "0.1"},
        {"do": "save", "v.start": "0.1", "v.end": "46.2 46.3"},
        {"do": "save", "v.start": "0.1\t46.1", "v.end": "46.2"},
        {"do": "save", "v.start": "0.1=0.2", "v.end": "46.2"},
        {"do": "save", "v.start": "0.1", "v.end": "46.2", "v.settle": "46.3"},
        {"do": "save", "v.end": "flush"},
        {"do": "again", "text": "0.1"},
        {"do": "", "text": "0.1"},
        {"do": "open", "text": "/etc/passwd"},
    ],
)
def test_what_is_no_whole_reading_leaves_no_trace(shop: Shop, phone: Device, fields: dict[str, str]) -> None:
    before = shop.path.read_bytes()
    form = {name: text for name, text in phone.form("save").items() if name[:2] not in ("v.", "s.", "u.")}
    assert phone.post("/do", {**form, **fields}).status == 200
    assert shop.path.read_bytes() == before
    assert not shop.sitting.state.typed
    assert not shop.faults


def test_what_an_empty_answer_means_is_a_button_of_its_own(shop: Shop, phone: Device) -> None:
    phone.type(start="0.1", end="46.3")
    phone.type(start="0.1", end="46.25")
    assert "cylinder 1" in phone.page.lower()
    phone.tap("empty")
    assert "cylinder 2" in phone.page.lower()
    assert len(shop.rows) == 3


def test_a_doubted_reading_is_asked_about_and_kept_whole(shop: Shop, phone: Device) -> None:
    phone.type(start="0.1", end="49.9")
    assert ends(shop) == ["46.20 cc"]
    form = phone.form("say", text="yes")
    phone.post("/do", form)
    phone.post("/do", form)
    assert ends(shop) == ["46.20 cc", "49.9 cc"]
    assert ALREADY in phone.page


def test_a_refused_reading_stands_in_its_fields_again(shop: Shop, phone: Device) -> None:
    phone.type(start="0.1", end="4x")
    assert len(shop.rows) == 1
    assert forms_of(phone.page)[-1].fields["v.end"] == "4x"
    assert "Not taken: start=0.1, end=4x" in phone.page
    phone.type(end="46.3")
    assert ends(shop) == ["46.20 cc", "46.3 cc"]


@pytest.mark.parametrize(("age", "minute"), [(0, "12:00"), (125, "11:57"), (OLDEST, "00:00"), (OLDEST + 1, "12:00")])
def test_a_late_reading_keeps_the_minute_it_was_typed(shop: Shop, phone: Device, age: int, minute: str) -> None:
    phone.post("/do", {**typed(phone, "0.1", "46.3"), "age": str(age)})
    assert shop.rows[-1]["time"] == minute


def test_a_doubt_does_not_change_the_minute(shop: Shop, phone: Device) -> None:
    phone.post("/do", {**typed(phone, "0.1", "49.9"), "age": "180"})
    shop.now += datetime.timedelta(minutes=4)
    phone.tap("say", text="yes")
    assert shop.rows[-1]["time"] == "11:57"


@pytest.mark.parametrize("age", ["-60", "1e3", "９", "99999999", "x"])
def test_an_age_that_is_none_is_now(shop: Shop, phone: Device, age: str) -> None:
    phone.post("/do", {**typed(phone, "0.1", "46.3"), "age": age})
    assert shop.rows[-1]["time"] == "12:00"


def test_kept_after_all_it_has_the_minute_it_was_typed(shop: Shop, phone: Device) -> None:
    old = typed(phone, "0.1", "46.3")
    phone.post("/do", old)
    shop.now += datetime.timedelta(minutes=20)
    phone.post("/do", {**old, "v.end": "46.4", "age": "600"})
    shop.now += datetime.timedelta(minutes=5)
    phone.tap("keep")
    assert [row["time"] for row in shop.rows] == ["11:40", "12:00", "12:10"]


def test_on_a_full_disk_the_reading_waits_and_is_tried_again_as_often_as_wanted(
    shop: Shop, phone: Device, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as there:
        there.setattr("os.replace", full)
        phone.type(start="0.1", end="46.3")
        for _ in range(3):
            assert "not saved" in phone.page
            phone.tap("empty")
    assert ends(shop) == ["46.20 cc"]
    phone.tap("empty")
    assert ends(shop) == ["46.20 cc", "46.3 cc"]


class TestHandEdit:
    """Something else writes into the file while a form stands open."""

    def edit(self, shop: Shop, was: str, now: str) -> None:
        text = shop.path.read_text(encoding="utf-8")
        assert was in text
        shop.path.write_text(text.replace(was, now), encoding="utf-8")

    def test_the_value_is_shown_beside_what_stands(self, shop: Shop, phone: Device) -> None:
        form = typed(phone, "0.1", "46.3")
        self.edit(shop, "46.20 cc", "46.10 cc")
        phone.post("/do", form)
        assert ends(shop) == ["46.10 cc"]
        assert "read again" in phone.page
        phone.tap("keep")
        assert ends(shop) == ["46.10 cc", "46.3 cc"]

    def test_an_action_is_not_done_blindly(self, shop: Shop, phone: Device) -> None:
        phone.type(start="0.1", end="46.3")
        form = phone.form("undo")
        self.edit(shop, 'by = "Ida"', 'by = "Ned"')
        phone.post("/do", form)
        assert len(shop.rows) == 2
        assert "read again" in phone.page

    def test_a_broken_file_is_waited_for(self, shop: Shop, phone: Device) -> None:
        form, good = typed(phone, "0.1", "46.3"), shop.path.read_text(encoding="utf-8")
        shop.path.write_text(good + "\n[[series\n", encoding="utf-8")
        phone.post("/do", form)
        assert "46.3" in phone.page
        phone.tap("keep")
        assert "46.3" in phone.page
        shop.path.write_text(good, encoding="utf-8")
        phone.tap("keep")
        assert ends(shop) == ["46.20 cc", "46.3 cc"]

    def test_what_an_older_copy_dropped_is_asked_about(self, shop: Shop, phone: Device) -> None:
        older = shop.path.read_text(encoding="utf-8")
        phone.type(start="0.1", end="46.3")
        form = typed(phone, "0.1", "46.4")
        shop.path.write_text(older, encoding="utf-8")
        phone.post("/do", form)
        assert "put back" in phone.page  # which is asked first: the value waits
        assert "46.4" in phone.page
        phone.tap("say", text="1")
        assert ends(shop) == ["46.20 cc", "46.3 cc"]
        phone.tap("keep")
        assert ends(shop) == ["46.20 cc", "46.3 cc", "46.4 cc"]

    def test_a_doubt_survives_it(self, shop: Shop, phone: Device) -> None:
        phone.type(start="0.1", end="49.9")
        form = phone.form("say", text="yes")
        self.edit(shop, 'by = "Ida"', 'by = "Ned"')
        phone.post("/do", form)
        assert len(shop.rows) == 1
        phone.tap("say", text="yes")
        assert ends(shop) == ["46.20 cc", "49.9 cc"]


def test_kept_where_it_was_typed_for(shop: Shop, phone: Device) -> None:
    """Meanwhile the sitting went on to the next chamber: the value goes to the one that it was typed for."""
    old = typed(phone, "0.1", "46.3")
    phone.tap("skip")
    phone.post("/do", old)
    assert "chamber 1" in phone.page
    phone.tap("keep")
    assert len(shop.rows) == 2
    assert shop.sitting.state.place.cylinder == 1


def test_what_was_typed_elsewhere_and_fits_nothing_can_only_be_dropped(shop: Shop, phone: Device) -> None:
    old = typed(phone, "0.1", "46.3")
    phone.tap("skip")
    phone.post("/do", {**old, "place": "chamber 77"})
    phone.tap("keep")
    assert len(shop.rows) == 1
    phone.tap("drop")
    assert not shop.faults


def test_showing_again_changes_nothing(shop: Shop, phone: Device) -> None:
    before, state = shop.path.read_bytes(), shop.sitting.state
    for path in ("/", "/read", "/how", "/how/2", "/how/9", "/more", "/", "/now", "/enter"):
        assert phone.get(path).status == 200, path
    assert (shop.path.read_bytes(), shop.sitting.state) == (before, state)


def test_signs_and_units_of_the_toggles_are_words_in_the_file(tmp_path: Path) -> None:
    text = HEADS.replace("bore, stack, deck,", "bore, stack, chamber,")
    shop = Shop(tmp_path / "block.toml", text)
    phone = shop.device()
    phone.tap("say", text="3")
    phone.tap("empty")
    phone.get("/read")
    assert 'name="s.' in phone.page
    names = [name[2:] for form in forms_of(phone.page) for name in form.fields if name.startswith("v.")]
    phone.tap(
        "save",
        **{f"v__{name}": "8" for name in names},
        **{f"s__{name}": "minus" for name in names},
        **{f"u__{name}": "thou" for name in names},
    )
    assert shop.rows[-1][names[0]].startswith("8 thou")
    assert "proud" in shop.rows[-1][names[0]]


def test_markup_in_a_job_is_text(tmp_path: Path) -> None:
    bad = '<script>alert(1)</script><b title="'
    text = HEADS.replace('by = "Ida"', f"name = '{bad}'\nby = '{bad}'").replace("water", bad.replace('"', ""))
    shop = Shop(tmp_path / "heads.toml", text)
    phone = shop.device()
    for path in ("/", "/read", "/how", "/more"):
        phone.get(path)
        assert "<script>alert" not in phone.page
        assert "<b title" not in phone.page
    form = phone.form("undo") if "undo" in phone.page else {"csrf": next(iter(shop.door.devices.values())).csrf}
    phone.post("/do", {**form, "do": "save", "v.answer": bad, "stamp": "x", "place": bad})
    assert "<script>alert" not in phone.page
    assert NOT_UNDERSTOOD not in phone.page
    assert not shop.faults
