"""The way of a phone to the page over TLS, and on to the headset: its page, its link, and the line for sound."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import BaseRoute, Route, WebSocketRoute
from starlette.templating import Jinja2Templates
from starlette.types import ASGIApp, Receive, Scope, Send

from assistant.display.guard import HEADERS, Rights, refused
from assistant.display.link import svg_code

SOUND_LINE = "/phone/sound"
"""Where the page sends its sound."""
MICROPHONE_POLICY = HEADERS["permissions-policy"].replace("microphone=()", "microphone=(self)")
"""Permissions Policy of the one page that may ask for the microphone."""


@dataclass(frozen=True, slots=True)
class PhonePage:
    """What the pages have for a phone. ``line`` takes its sound (an ASGI application for one WebSocket); None: nobody.

    ``looking`` and ``touching`` are the links over TLS ("": there is none); ``fingerprint`` and ``root`` (DER) belong
    to its certificate. ``local``: the pages are served to this computer alone, and need no TLS.
    """

    line: ASGIApp | None
    looking: str = ""
    touching: str = ""
    fingerprint: str = ""
    root: bytes = b""
    local: bool = False


class HeadsetRoutes:
    """Answers what a phone asks for."""

    def __init__(self, phone: PhonePage, templates: Jinja2Templates) -> None:
        self._phone, self._templates = phone, templates

    def offers(self, rights: Rights) -> bool:
        """Return whether the page has the button: who may press may also speak."""
        return self._phone.line is not None and rights.touch

    def routes(self) -> list[BaseRoute]:
        """Return what is served."""
        routes: list[BaseRoute] = [
            Route("/phone", self._page),
            Route("/phone.svg", self._code),
            Route("/phone.crt", self._root),
        ]
        if self._phone.line is not None:
            routes.append(WebSocketRoute(SOUND_LINE, _Line(self._phone.line, local=self._phone.local)))
        return routes

    def _page(self, request: Request) -> Response:
        phone, rights = self._phone, request.state.rights
        values = {
            "live": True,
            "phone": True,
            "touch": rights.touch and bool(phone.touching),
            "link": self._link(rights),
            "fingerprint": phone.fingerprint,
            "local": phone.local,
        }
        return self._templates.TemplateResponse(request, "phone.html", values)

    def _link(self, rights: Rights) -> str:
        """Return the link for somebody with these rights: nobody gets more of them by a code."""
        return (rights.touch and self._phone.touching) or self._phone.looking

    def _code(self, request: Request) -> Response:
        link = self._link(request.state.rights)
        if not link:
            raise HTTPException(404)
        return Response(svg_code(link), media_type="image/svg+xml")

    def _root(self, _request: Request) -> Response:
        if not self._phone.root:
            raise HTTPException(404)
        return Response(self._phone.root, media_type="application/x-x509-ca-cert")


class _Line:
    """Lets a phone speak that may press, and whose sound nobody reads on the way."""

    def __init__(self, line: ASGIApp, *, local: bool) -> None:
        self._line, self._local = line, local

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Hand the connection on, or refuse it."""
        rights: Rights = scope["state"]["rights"]
        if rights.touch and (self._local or scope["scheme"] == "wss"):
            await self._line(scope, receive, send)
            return
        refused(scope, 403, "", "a phone without the right to speak, or without TLS")
        await receive()
        await send({"type": "websocket.close", "code": 1008})
