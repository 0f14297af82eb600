"""Who gets in: address, host and origin, the one-time code, one writer, and what a request may look like.

Private addresses: RFC 1918 section 3, RFC 3927 section 2.1, RFC 4193 section 3.1 (numbers from memory).
"""

from __future__ import annotations

from pathlib import Path

import pytest

from ccassist.phone.app import LOOKS
from ccassist.phone.door import (
    CODE_LASTS,
    FORM,
    HEADERS,
    LARGEST,
    TRIES,
    checked_address,
    is_private,
    private_addresses,
)
from ccassist.values.findings import InputError
from tests.phone.page import HOST, Device, Shop
from tests.phone.test_posts import HEADS

ORIGIN = ("origin", f"http://{HOST}")
KIND = ("content-type", FORM)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path / "heads.toml", HEADS)


# -- addresses ------------------------------------------------------------------------------------
@pytest.mark.parametrize(
    "address", ["10.0.0.1", "172.16.0.1", "172.31.255.255", "192.168.4.20", "169.254.7.7", "fd12::7", "fe80::1"]
)
def test_private_and_link_local_addresses_are_taken(address: str) -> None:
    assert checked_address(address) == address


@pytest.mark.parametrize(
    "address",
    ["0.0.0.0", "::", "127.0.0.1", "8.8.8.8", "172.32.0.1", "172.15.255.255", "192.167.1.1", "2001:db8::1", "::1",
     "::ffff:8.8.8.8", "shop", "", "192.168.1.0/24", "192.168.1.20:80"],
)  # fmt: skip
def test_every_other_is_refused(address: str) -> None:
    with pytest.raises(InputError, match="private address"):
        checked_address(address)


def test_those_listed_are_private_ones() -> None:
    assert all(is_private(address) for address in private_addresses())


# -- what a request must look like -------------------------------------------------------------------
@pytest.mark.parametrize("host", [[], ["shop.example:8717"], ["127.0.0.1"], ["127.0.0.1:80"], [HOST, HOST], ["evil"]])
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_another_host_is_not_answered(shop: Shop, method: str, host: list[str]) -> None:
    answer = shop.ask(method, "/enter", [*(("host", one) for one in host), ORIGIN, KIND], b"code=1")
    assert answer.status == 421
    assert shop.door.open is False  # no code was ever made here


@pytest.mark.parametrize(
    "origin", [[], ["null"], ["http://evil.example"], [f"https://{HOST}"], [ORIGIN[1], ORIGIN[1]], [f"{ORIGIN[1]}/"]]
)
def test_a_post_of_another_origin_is_refused(shop: Shop, origin: list[str]) -> None:
    phone = shop.device()
    code = shop.door.new_code().encode()
    before = shop.path.read_bytes()
    head = [("host", HOST), KIND, ("cookie", phone.cookie), *(("origin", one) for one in origin)]
    assert shop.ask("POST", "/do", head, b"do=undo").status == 403
    assert shop.ask("POST", "/enter", head, b"code=" + code).status == 403
    assert shop.door.open
    assert shop.path.read_bytes() == before


@pytest.mark.parametrize("kind", ["multipart/form-data; boundary=x", "text/plain", "application/json", ""])
def test_only_forms_are_taken(shop: Shop, kind: str) -> None:
    head = [("host", HOST), ORIGIN, *([("content-type", kind)] if kind else [])]
    assert shop.ask("POST", "/do", head, b"--x\r\n").status == 415


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "TRACE", "PATCH"])
def test_no_other_method(shop: Shop, method: str) -> None:
    assert shop.ask(method, "/", [("host", HOST)]).status == 405


def test_a_body_is_at_most_four_kilobytes(shop: Shop) -> None:
    head = [("host", HOST), ORIGIN, KIND]
    assert LARGEST == 4096
    assert shop.ask("POST", "/enter", head, b"x" * LARGEST).status == 403  # no code in it
    assert shop.ask("POST", "/enter", head, b"x" * (LARGEST + 1)).status == 413
    assert shop.ask("POST", "/enter", [*head, ("content-length", "5000")], b"x").status == 413
    assert shop.ask("POST", "/enter", [*head, ("content-length", "9" * 40)], b"x").status == 413
    assert shop.ask("POST", "/enter", [*head, ("content-length", "-1")], b"x").status == 413
    assert shop.ask("POST", "/enter", head, [b"x" * 3000, b"x" * 3000]).status == 413  # without saying how long


def test_a_slow_body_is_not_waited_for(shop: Shop, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ccassist.phone.door.BODY_WITHIN", 0.01)
    head = [("host", HOST), ORIGIN, KIND]
    assert shop.ask("POST", "/enter", head, [b"code=", b""], stuck=True).status == 408


@pytest.mark.parametrize("path", ["/", "/enter", "/static/bench.css", "/nowhere", "/now", "/do"])
def test_the_headers_of_every_answer(shop: Shop, path: str) -> None:
    answers = [shop.ask("GET", path, [("host", HOST)]), shop.ask("GET", path, [("host", "evil")])]
    for answer in answers:
        assert HEADERS.items() <= answer.headers.items()
    policy = answers[0].headers["content-security-policy"]
    assert "unsafe" not in policy
    assert {"default-src 'none'", "frame-ancestors 'none'"} <= set(policy.split("; "))
    assert answers[0].headers["referrer-policy"] == "same-origin"
    assert answers[0].headers["cache-control"] == "no-store"


@pytest.mark.parametrize("path", ["/", "/read", "/how", "/more", "/paper/worksheet.pdf"])
def test_nothing_is_shown_to_whoever_was_not_let_in(shop: Shop, path: str) -> None:
    stranger = Device(shop)
    stranger.get(path)
    assert "code" in stranger.page
    assert "chamber" not in stranger.page.lower()
    assert shop.ask("GET", "/now", [("host", HOST)]).status == 403
    stranger.cookie = "ccassist-8717=guess"
    stranger.get(path)
    assert "chamber" not in stranger.page.lower()


@pytest.mark.parametrize(
    "path", ["/../heads.toml", "/static/../door.py", "/static/%2e%2e/door.py", "/paper/x.pdf", "/x"]
)
def test_no_path_leads_to_a_file(shop: Shop, path: str) -> None:
    phone = shop.device()
    answer = shop.ask("GET", path, [("host", HOST), ("cookie", phone.cookie)])
    assert answer.status in (404, 409)
    assert b"step" not in answer.body


# -- the code -----------------------------------------------------------------------------------------
def test_a_get_never_spends_the_code(shop: Shop) -> None:
    code, phone = shop.door.new_code(), Device(shop)
    for _ in range(TRIES + 2):
        assert code in phone.get(f"/enter/{code}").text
    phone.post("/enter", {"code": code})
    assert "Chamber" in phone.page or "chamber" in phone.page


def test_it_is_spent_once(shop: Shop) -> None:
    code, first, second = shop.door.new_code(), Device(shop), Device(shop)
    first.post("/enter", {"code": code})
    assert second.post("/enter", {"code": code}).status == 403
    assert not second.cookie


def test_it_may_be_typed_with_a_space(shop: Shop) -> None:
    code, phone = shop.door.new_code(), Device(shop)
    phone.post("/enter", {"code": f" {code[:4]} {code[4:]}"})
    assert phone.cookie


def test_the_sixth_try_is_too_late(shop: Shop) -> None:
    code, phone = shop.door.new_code(), Device(shop)
    for _ in range(5):
        assert phone.post("/enter", {"code": "1"}).status == 403
    assert phone.post("/enter", {"code": code}).status == 403
    assert not phone.cookie
    assert "Enter at the terminal" in shop.printed[-1]


def test_it_lasts_five_minutes(shop: Shop) -> None:
    code, phone = shop.door.new_code(), Device(shop)
    assert CODE_LASTS == 300
    shop.seconds += 300
    assert phone.post("/enter", {"code": code}).status == 403
    code = shop.door.new_code()
    shop.seconds += 299
    phone.post("/enter", {"code": code})
    assert phone.cookie


def test_a_new_code_makes_the_old_one_worthless(shop: Shop) -> None:
    old, phone = shop.door.new_code(), Device(shop)
    shop.door.new_code()
    assert phone.post("/enter", {"code": old}).status == 403


@pytest.mark.parametrize("code", ["", "é", "\x00", "1" * 3000, "0000 0000 0"])
def test_rubbish_is_a_wrong_code(shop: Shop, code: str) -> None:
    shop.door.new_code()
    assert Device(shop).post("/enter", {"code": code}).status == 403
    assert not shop.faults


def test_the_cookie_is_for_this_server_alone(shop: Shop) -> None:
    head = [("host", HOST), ORIGIN, KIND]
    answer = shop.ask("POST", "/enter", head, b"code=" + shop.door.new_code().encode())
    said = [part.strip().lower() for part in answer.headers["set-cookie"].split(";")]
    assert said[0].startswith("ccassist-8717=")
    assert {"httponly", "samesite=lax"} <= set(said)


def test_a_post_without_the_token_of_its_page_is_refused(shop: Shop) -> None:
    phone = shop.device()
    form = phone.form("skip")
    assert phone.post("/do", {**form, "csrf": "x"}).status == 403
    assert phone.post("/do", {name: text for name, text in form.items() if name != "csrf"}).status == 403
    other = shop.device()
    assert other.post("/do", form).status == 403


# -- one writes -----------------------------------------------------------------------------------------
def ready(phone: Device) -> None:
    """At the fields of a fill."""
    while "v.end" not in phone.page:
        phone.tap("empty")


def test_one_writes_and_others_look(shop: Shop) -> None:
    writer, other = shop.device(), shop.device()
    ready(writer)
    other.get("/read")
    assert "Device 1 writes" in other.page
    assert 'name="v.end"' not in other.page
    token = shop.door.devices[other.cookie.partition("=")[2]].csrf
    form = {**writer.form("save", v__start="0.1", v__end="46.3"), "csrf": token}
    other.post("/do", form)
    assert len(shop.rows) == 1
    assert LOOKS in other.page


def test_taking_over_needs_the_code_of_the_terminal(shop: Shop) -> None:
    writer, other = shop.device(), shop.device()
    ready(writer)
    assert other.post("/enter", {"code": "1", "write": "yes"}).status == 403
    assert shop.door.writes(writer.cookie.partition("=")[2])
    other.post("/enter", {"code": shop.door.new_code(), "write": "yes"})
    other.get("/read")
    other.type(start="0.1", end="46.3")
    assert len(shop.rows) == 2
    writer.post("/do", writer.form("save", v__start="0.2", v__end="46.4"))
    assert len(shop.rows) == 2
    assert "46.4" in writer.page  # kept for the time when it writes again
    assert "Device 2 writes" in writer.page


def test_whoever_looks_finds_out_by_asking(shop: Shop) -> None:
    writer, other = shop.device(), shop.device()
    ready(writer)
    before = other.get("/now").text
    assert other.get("/now").text == before
    writer.type(start="0.1", end="46.3")
    assert other.get("/now").text != before


def test_too_many_devices_push_out_the_oldest_that_only_looks(shop: Shop) -> None:
    writer, first = shop.device(), shop.device()
    for _ in range(20):
        shop.device()
    assert len(shop.door.devices) == 16
    first.get("/")
    assert "code" in first.page
    writer.get("/read")
    assert "undo" in writer.page or "skip" in writer.page


def test_rubbish_posts_leave_no_trace(shop: Shop) -> None:
    phone = shop.device()
    before, csrf = shop.path.read_bytes(), next(iter(shop.door.devices.values())).csrf
    head = [("host", HOST), ORIGIN, KIND, ("cookie", phone.cookie)]
    token = b"csrf=" + csrf.encode() + b"&"
    for body in (
        *(b"", b"\xff\xfe", b"%ff=%ff", b"=&=&=", b"&" * 4000, b"a=1&" * 200, b"do=save", b"do=keep", b"do=drop"),
        *(b"do=anew", b"do=finish&stamp=x", b"do=jump&text=%00", b"v.=1&do=save", b"do=save&v.answer=%0a%0a"),
    ):
        for sent in (body, token + body):
            assert shop.ask("POST", "/do", head, sent).status in (303, 403), sent
    assert shop.path.read_bytes() == before
    assert not shop.faults
