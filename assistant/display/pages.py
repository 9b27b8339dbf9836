"""The pages and what they ask for. The adapter of Starlette, whose templates escape every text."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.templating import Jinja2Templates

from assistant.display.board import LOG, Board
from assistant.display.customer import Customers
from assistant.display.customer_pages import CUSTOMER_HEADERS, CustomerRoutes
from assistant.display.desk import Desk, DeskBusy
from assistant.display.desk_routes import DeskRoutes
from assistant.display.guard import PageGuard, Rights, is_customers, is_foreign, loggable, refused
from assistant.display.headset import MICROPHONE_POLICY, HeadsetRoutes, PhonePage
from assistant.display.link import svg_code
from assistant.display.photo_routes import PhotoRoutes
from assistant.display.photos import TakesPhotos
from assistant.display.picture import visible_values
from assistant.display.shop_routes import ShopRoutes
from assistant.display.stream import EVENTS, Stream
from assistant.journal.port import JournalFault
from assistant.language.chosen import LANGUAGE

HERE = Path(__file__).parent
PRESSES = {"next": "next", "back": "go_back", "repeat": "repeat", "pause": "pause", "carry-on": "carry_on"}
"""The intents of the touch buttons and of a remote, by the name of the button; never "confirmed", "yes" or a number."""


def _moment(at_ms: int) -> str:
    return f"{datetime.fromtimestamp(at_ms / 1000).astimezone():%Y-%m-%d %H:%M}" if at_ms else ""


def _sentence(text: str) -> str:
    """Return words that were dictated, or a title, as a sentence."""
    words = text.strip()
    return f"{words[:1].upper()}{words[1:]}{'' if words[-1:] in '.!?' else '.'}"


def _whole_minutes(minutes: Decimal) -> int:
    return max(1, round(minutes))


TEMPLATES = Jinja2Templates(directory=HERE / "templates")
TEMPLATES.env.filters |= {
    "moment": _moment,
    "visible": visible_values,
    "sentence": _sentence,
    "round_minutes": _whole_minutes,
}


@dataclass(frozen=True, slots=True)
class Access:
    """Who may come in, and by which name; see :class:`assistant.display.guard.PageGuard`."""

    hosts: frozenset[str]
    tokens: Mapping[str, Rights] = field(default_factory=dict)
    open_rights: Rights | None = None
    link: str = ""
    """The link for looking that the page may hand on as a code; "" when there is none to hand on."""
    touch_link: str = ""
    """The link with the touch buttons, handed on only to who may press already; "" when there is none."""
    outside: str = ""
    """Name and port of a TLS proxy by which customers come from outside, and nobody else; "" when there is none."""
    secure: frozenset[str] = frozenset()
    """Names with the port at which the same is served over TLS; none when it is not."""


class Pages:
    """Answers every request."""

    def __init__(
        self,
        board: Board | None,
        desk: Desk,
        access: Access,
        *,
        press: Callable[[str, str], bool] | None = None,
        choose: Callable[[Mapping[str, str]], None] | None = None,
        scan: Callable[[str], None] | None = None,
        customers: Customers | None = None,
        photos: TakesPhotos | None = None,
        phone: PhonePage | None = None,
    ) -> None:
        """Show ``board`` (None: there is no job here) and ``desk``, and the pages of ``customers``.

        With ``phone`` there is a page that tells how a phone comes here over TLS, and may become the headset.
        ``press`` takes the phrase of a touched button and where in a hand-over it counts ("": anywhere), and tells
        whether it was taken; ``choose`` takes what is pressed between jobs, and ``scan`` a code that a reader at the
        page read. None of them may block. ``photos`` takes what a page sends, and shows it.
        """
        self._board = board
        self._desk = desk
        self._access = access
        self._press = press
        self._choose = choose
        self._scan = scan
        self._customers = customers
        self._photos = photos
        self._phone = None if phone is None else HeadsetRoutes(phone, TEMPLATES)
        self._pressed_on = 0

    def app(self) -> Starlette:
        """Return the application."""
        routes = [
            Route("/", self._display),
            *DeskRoutes(self._desk, self._page).routes(),
            *ShopRoutes(self._desk, self._page).routes(),
            Route("/link", self._link),
            Route("/link.svg", self._link_code),
            Route("/remote.svg", self._remote_code),
            Mount("/static", StaticFiles(directory=HERE / "static")),
        ]
        if self._customers is not None:
            routes += CustomerRoutes(self._customers, TEMPLATES).routes()
        if self._phone is not None:
            routes += self._phone.routes()
        if self._board is not None:
            routes += [
                Route(EVENTS, Stream(self._board), methods=["GET"]),
                Route("/press", self._pressed, methods=["POST"]),
                Route("/idle", self._chosen, methods=["POST"]),
                Route("/scan", self._scanned, methods=["POST"]),
                Route("/pictures/{sha256}", self._picture),
            ]
        if self._photos is not None:
            routes += PhotoRoutes(self._photos).routes()
        access = self._access
        guard = Middleware(
            PageGuard,
            hosts=access.hosts,
            tokens=access.tokens,
            open_rights=access.open_rights,
            outside=access.outside,
            secure=access.secure,
        )
        return Starlette(
            routes=routes,
            middleware=[guard],
            exception_handlers={HTTPException: plain_answer, JournalFault: sentence_answer, DeskBusy: sentence_answer},
        )

    def _page(self, request: Request, name: str, **values: Any) -> Response:
        values |= {"live": self._board is not None, "link": bool(self._access.link), "phone": self._phone is not None}
        return TEMPLATES.TemplateResponse(request, name, values)

    def _display(self, request: Request) -> Response:
        if self._board is None:
            if is_foreign(request.headers):  # whom another page sent here gets the front page and nothing else
                return _message(request, "These are the pages for the desk. Choose one above.", 200)
            return RedirectResponse("/jobs", 303)
        rights: Rights = request.state.rights
        touch = self._press is not None and rights.touch
        headset = self._phone is not None and self._phone.offers(rights)
        photos = touch and self._photos is not None
        page = self._page(request, "display.html", touch=touch, photos=photos, headset=headset)
        if headset:
            page.headers["permissions-policy"] = MICROPHONE_POLICY
        return page

    async def _pressed(self, request: Request) -> Response:
        """Take a press; it must have been made on what is shown now, so that two taps never move the job twice."""
        rights: Rights = request.state.rights
        if self._press is None or not rights.touch or self._board is None:
            return refused(request.scope, 403, "This page is for looking.", "press")
        try:
            asked = json.loads(await request.body())
            button, shown = str(asked["press"]), (asked["boot"], asked["seq"])
            hand = self._board.hand(button)
            phrase = hand.phrase if hand else LANGUAGE.phrases.phrases(PRESSES[button])[0]
        except ClientDisconnect:
            return Response(status_code=408)  # it took too long, and is gone
        except (ValueError, KeyError, TypeError, RecursionError):
            return refused(request.scope, 400, "That is no press of a button.", "press")
        newest = self._board.seq
        is_new = shown == (self._board.boot, newest) and newest != self._pressed_on
        if not is_new or not self._press(phrase, hand.at if hand else ""):
            return JSONResponse({"taken": False, "why": "The page had moved on. Look again."}, 409)
        self._pressed_on = newest
        return JSONResponse({"taken": True})

    async def _chosen(self, request: Request) -> Response:
        """Take a press between jobs, made on what is shown now; what it means there is the bay's to know."""
        rights: Rights = request.state.rights
        if self._choose is None or not rights.touch or self._board is None:
            return refused(request.scope, 403, "This page is for looking.", "press")
        try:
            asked = json.loads(await request.body())
            shown = asked.pop("boot"), asked.pop("seq")
            given = {str(key): str(value) for key, value in asked.items()}
        except ClientDisconnect:
            return Response(status_code=408)
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return refused(request.scope, 400, "That is no press of a button.", "press")
        newest = self._board.seq
        if shown != (self._board.boot, newest) or newest == self._pressed_on:
            return JSONResponse({"taken": False, "why": "The page had moved on. Look again."}, 409)
        self._pressed_on = newest
        self._choose(given)
        return JSONResponse({"taken": True})

    async def _scanned(self, request: Request) -> Response:
        """Take a code that was read at the page; it moves nothing, so it may come at any moment."""
        rights: Rights = request.state.rights
        if self._scan is None or not rights.touch or self._board is None:
            return refused(request.scope, 403, "This page is for looking.", "scan")
        try:
            asked = json.loads(await request.body())
            text, boot = str(asked["text"]), asked["boot"]
        except ClientDisconnect:
            return Response(status_code=408)
        except (ValueError, KeyError, TypeError, RecursionError):
            return refused(request.scope, 400, "That is no code.", "scan")
        if boot != self._board.boot or not text.strip():
            return JSONResponse({"taken": False, "why": "The page had moved on. Look again."}, 409)
        self._scan(text)
        return JSONResponse({"taken": True})

    def _picture(self, request: Request) -> Response:
        """Send a picture or a photo of the job: what is asked for is its hash and no file."""
        name = request.path_params["sha256"]
        hung = self._board.hung(name) if self._board is not None else None
        if hung is None and self._photos is not None:
            hung = self._photos.hung(name)
        if hung is None:
            raise HTTPException(404)
        return Response(hung.data, media_type=hung.media)

    def _link(self, request: Request) -> Response:
        if not self._access.link:
            raise HTTPException(404)
        return self._page(request, "link.html", remote=bool(self._remote(request)))

    def _remote(self, request: Request) -> str:
        """Return the link by which a phone joins as a remote; "" for who may not press himself."""
        rights: Rights = request.state.rights
        return self._access.touch_link if rights.touch else ""

    def _remote_code(self, request: Request) -> Response:
        if not (link := self._remote(request)):
            raise HTTPException(404)
        return Response(svg_code(link), media_type="image/svg+xml")

    def _link_code(self, _request: Request) -> Response:
        if not self._access.link:
            raise HTTPException(404)
        return Response(svg_code(self._access.link), media_type="image/svg+xml")


def plain_answer(request: Request, fault: Exception) -> Response:
    """Answer what is not there, or may not be done, with a page that says so."""
    status = fault.status_code if isinstance(fault, HTTPException) else 500
    LOG.warning("refused %d: %s %.80r", status, request.method, loggable(request.scope))
    sentence = {404: "There is nothing here under this name.", 405: "This cannot be done here."}.get(status, "Refused.")
    if is_customers(request.scope):
        values = {"sentence": sentence, "back": ""}
        return TEMPLATES.TemplateResponse(request, "customer_message.html", values, status, CUSTOMER_HEADERS)
    return _message(request, sentence, status)


def sentence_answer(request: Request, fault: Exception) -> Response:
    """Answer what cannot be shown with a page that says why."""
    sentence = fault.sentence if isinstance(fault, JournalFault | DeskBusy) else str(fault)
    return _message(request, sentence, 503 if isinstance(fault, DeskBusy) else 404)


def _message(request: Request, sentence: str, status: int) -> Response:
    return TEMPLATES.TemplateResponse(request, "message.html", {"sentence": sentence, "live": False}, status)
