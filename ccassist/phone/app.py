"""The routes of the bench page: forms are posted and answered by 303, pages are shown, papers are made when fetched.

What a form posts, and what a page is made of, stands in :mod:`ccassist.phone.screen`.  Everything that touches the
sitting runs in one worker thread, papers in another, so that a slow paper keeps no reading and no refusal waiting.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from importlib.resources import files
from queue import SimpleQueue
from threading import Thread
from urllib.parse import parse_qsl

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from ccassist.phone.door import Door, Guard, plain
from ccassist.phone.pieces import paper
from ccassist.phone.screen import Posted, Screen, Toggle
from ccassist.phone.sitting import Sitting
from ccassist.phone.view import place_of, view_of
from ccassist.values.findings import CcassistError

KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".woff2": "font/woff2"}
WRONG = "That is not the code."
NO_CODE = "There is no code that works: Enter at the terminal makes one."
MISTAKE = "This program made a mistake; what was saved is saved. Go back and try again."
LOOKS = "This device only looks: nothing was saved."


class Worker:
    """A thread that does one thing after another; at the end of the process nothing waits for it."""

    def __init__(self) -> None:
        self.left: SimpleQueue[tuple[Callable[[], Response], asyncio.Future[Response]] | None] = SimpleQueue()
        self.thread = Thread(target=self._work, daemon=True)
        self.thread.start()

    async def do(self, work: Callable[[], Response]) -> Response:
        """What it makes; where nobody waits for that any more it is made all the same."""
        made: asyncio.Future[Response] = asyncio.get_running_loop().create_future()
        self.left.put((work, made))
        return await made

    def end(self, within: float) -> None:
        """Let what is under way come to its end, such as a save, for so long [s]."""
        self.left.put(None)
        self.thread.join(within)

    def _work(self) -> None:
        while (next_one := self.left.get()) is not None:
            work, made = next_one
            try:
                done: Response | Exception = work()
            except Exception as fault:
                done = fault
            with contextlib.suppress(RuntimeError):  # the loop may have ended meanwhile
                made.get_loop().call_soon_threadsafe(_give, made, done)


def _give(made: asyncio.Future[Response], done: Response | Exception) -> None:
    if made.done():
        return
    if isinstance(done, Exception):
        made.set_exception(done)
    else:
        made.set_result(done)


# -- the app ------------------------------------------------------------------------------------------
class Bench:
    """One sitting behind one door."""

    def __init__(self, sitting: Sitting, door: Door, *, fault: Callable[[Exception], None]) -> None:
        self.sitting, self.door, self.fault = sitting, door, fault
        self.worker, self.printer = Worker(), Worker()  # a reading never waits for a paper
        loader = PackageLoader("ccassist.phone")
        self.pages = Environment(
            loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
        )
        self.still = dict(_static())

    def asgi(self) -> Guard:
        """The whole, as a server calls it."""
        routes = [
            Route("/", self.page),
            Route("/{page:str}", self.page),
            Route("/how/{turn:int}", self.page),
            Route("/now", self.now),
            Route("/do", self.do, methods=["POST"]),
            Route("/enter", self.enter),
            Route("/enter", self.entered, methods=["POST"]),
            Route("/enter/{code:str}", self.enter),
            Route("/paper/{name:str}.pdf", self.paper),
            Route("/static/{name:str}", self.static),
        ]
        order = sorted(routes, key=lambda route: "{page" in route.path)
        app = Starlette(routes=order)
        app.router.redirect_slashes = False
        return Guard(app, self.door)

    async def _safely(self, worker: Worker, work: Callable[[], Response]) -> Response:
        """An answer; a fault of this program is told at the terminal, and the sitting goes on."""
        try:
            return await worker.do(work)
        except CcassistError as fault:
            return self._not_so(409, *([one.text() for one in getattr(fault, "findings", ())] or [str(fault)]))
        except Exception as fault:
            self.fault(fault)
            return self._not_so(500, MISTAKE)

    def _not_so(self, status: int, *why: str) -> Response:
        """A page that says why there is no other, and the way back."""
        return self._shown("not_so.html", status, why=why)

    def _shown(self, template: str, status: int = 200, **more: object) -> Response:
        return HTMLResponse(self.pages.get_template(template).render(**more), status_code=status)

    def _device(self, request: Request) -> str:
        return self.door.known(request.cookies)

    # -- pages ------------------------------------------------------------------------------------
    async def page(self, request: Request) -> Response:
        """A page of the sitting; whoever was not let in is asked for the code."""
        turn = request.path_params.get("turn", 0)
        page = request.path_params.get("page", "how" if turn else "")
        if page not in ("", "how", "read", "more"):
            return self._not_so(404, "There is no such page.")
        token = self._device(request)
        if not token:
            return RedirectResponse("/enter", 303)
        return await self._safely(self.worker, lambda: self._page(token, page, turn))

    def _page(self, token: str, page: str, turn: int) -> Response:
        sitting, device = self.sitting, self.door.devices[token]
        if sitting.held.get(token):
            page = page or "read"  # what was not taken comes before how it is done
        view, told = view_of(sitting.state, sitting.shown, page, turn), sitting.told.get(token)
        if told is not None:
            view = replace(view, notices=(told,), grave=False)
        writes = self.door.writes(token)
        writer = self.door.devices.get(self.door.writer)
        view = replace(
            view,
            stamp=sitting.stamp,
            csrf=device.csrf,
            writes=writes,
            holder="" if writes else f"Device {writer.number if writer else '–'} writes; this one looks on.",
            kept=sitting.kept(token),
        )
        if view.kept is not None and sitting.waits:
            later = f"Typed and not saved yet: {view.kept.typed}. First this."
            view = replace(view, notices=(*view.notices, later), kept=None)
        if token in sitting.refused:
            view = typed_again(view, sitting.refused[token])
        return self._shown("page.html", view=view, run=sitting.run, holds=json.dumps(sitting.holds(token)))

    async def now(self, request: Request) -> Response:
        """What whoever looks polls: whether anything has become another."""
        token = self._device(request)
        if not token:
            return plain(403, "Not let in.")
        said = {"stamp": self.sitting.stamp, "writes": self.door.writes(token)}
        return Response(json.dumps(said), media_type="application/json")

    async def paper(self, request: Request) -> Response:
        """A paper to take along."""
        if not self._device(request):
            return RedirectResponse("/enter", 303)
        name, state = request.path_params["name"], self.sitting.state

        def made() -> Response:
            data = paper(name, state)
            named = {"content-disposition": f"inline; filename={name}.pdf"}
            return Response(data, media_type="application/pdf", headers=named)

        return await self._safely(self.printer, made)

    async def static(self, request: Request) -> Response:
        """Style and script, read once."""
        found = self.still.get(request.path_params["name"])
        return Response(found[0], media_type=found[1]) if found else plain(404, "There is no such file.")

    # -- posts ------------------------------------------------------------------------------------
    async def do(self, request: Request) -> Response:
        """A form of a page."""
        token, form = self._device(request), parsed(await request.body())
        if not token:
            return self._shown("enter.html", 403, code="", told="", writer=self.door.writer)
        if form.get("csrf") != self.door.devices[token].csrf:
            return plain(403, "Posted from another page.")
        typed, page = typed_of(form), form.get("page", "")
        return await self._safely(self.worker, lambda: self._done(token, typed, page))

    def _done(self, token: str, typed: Posted, page: str) -> Response:
        sitting = self.sitting
        before, writes = place_of(sitting.state), self.door.writes(token)
        if writes:
            sitting.do(token, typed)
        else:
            sitting.hold(token, typed, LOOKS)
        same = page == "read" and place_of(sitting.state) == before
        return RedirectResponse("/read" if same else "/", 303)

    # -- the door ---------------------------------------------------------------------------------
    async def enter(self, request: Request) -> Response:
        """The page that asks for the code, or shows the one that was scanned; it spends nothing."""
        code = request.path_params.get("code", "")
        return self._shown("enter.html", code=code[:12], told="", writer=self.door.writer)

    async def entered(self, request: Request) -> Response:
        """The code is spent, and the device let in."""
        form, door = parsed(await request.body()), self.door
        if not door.spend(form.get("code", "")):
            if not door.open:
                self.sitting.tell(f"Somebody at {_peer(request)} asked to be let in. {NO_CODE}")
            told = WRONG if door.open else NO_CODE
            return self._shown("enter.html", 403, code="", told=told, writer=door.writer)
        token = door.admit(self._device(request), write=form.get("write") == "yes")
        await self.worker.do(lambda: self._came_in(token, request.cookies.get(door.cookie, "")))
        does = "writes" if door.writes(token) else "looks on"
        self.sitting.tell(f"Device {door.devices[token].number} at {_peer(request)} was let in and {does}.")
        answer = RedirectResponse("/", 303)
        answer.set_cookie(door.cookie, token, httponly=True, samesite="lax", path="/")
        return answer

    def _came_in(self, token: str, cookie: str) -> Response:
        self.sitting.came_in(token, cookie)
        return plain(200, "Let in.")


def _peer(request: Request) -> str:
    return request.client.host if request.client is not None else "?"


def typed_again(view: Screen, typed: Posted) -> Screen:
    """With what was typed and refused in its fields again."""

    def on(toggles: tuple[Toggle, ...], said: str) -> tuple[Toggle, ...]:
        return tuple(replace(one, on=one.value == said) for one in toggles) if said else toggles

    fields = (
        replace(
            one,
            value=typed.values.get(one.name, ""),
            signs=on(one.signs, typed.signs.get(one.name, "")),
            units=on(one.units, typed.units.get(one.name, "")),
        )
        for one in view.entries
    )
    return replace(view, entries=tuple(fields))


def parsed(body: bytes) -> Mapping[str, str]:
    """The fields of a form, the first of each name; none where it cannot be read."""
    try:
        pairs = parse_qsl(body.decode("utf-8"), keep_blank_values=True, max_num_fields=80, errors="strict")
    except ValueError:
        return {}
    found: dict[str, str] = {}
    for name, text in pairs:
        found.setdefault(name, text)
    return found


def whole(text: str) -> int:
    """A whole number of a few digits; 0 where it is none."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 7 else 0


def typed_of(form: Mapping[str, str]) -> Posted:
    """What a form says, with what has no place in it left out."""

    def named(letter: str) -> dict[str, str]:
        return {name[2:]: text for name, text in form.items() if name.startswith(f"{letter}.") and name[2:]}

    return Posted(
        do=form.get("do", ""),
        text=form.get("text", ""),
        values=named("v"),
        signs=named("s"),
        units=named("u"),
        stamp=form.get("stamp", ""),
        place=form.get("place", ""),
        age=whole(form.get("age", "")),
    )


def _static() -> list[tuple[str, tuple[bytes, str]]]:
    """The files that lie beside the templates, by name."""
    found = [one for one in files("ccassist.phone").joinpath("static").iterdir() if one.is_file()]
    kinds = {one.name: KINDS.get(one.name[one.name.rfind(".") :]) for one in found}
    return [(one.name, (one.read_bytes(), kind)) for one in found if (kind := kinds[one.name])]
