"""Who may look: the right host, no foreign page behind it, the token, nothing large; and strict headers on all answers.

Everything that is refused is answered with one sentence and logged with one line.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from assistant.display.board import LOG
from assistant.display.photos import MOST_SENT_BYTES, PHOTO
from assistant.files import whole_number

BODY_BYTES = 1024
"""A press is far smaller than this, and so is a code; nothing else has a body but a photo, and a form of a customer."""
QUERY_BYTES = 1024
HEADER_BYTES = 16 * 1024
CUSTOMER = "/customer/"
"""Below it are the pages for customers: each has a secret address of its own, and wants no other token."""
FORM_BYTES = 512
"""A form of those pages is smaller than this."""
COOKIE_S = 30 * 24 * 3600
"""How long a browser that showed the token once may come back without it [s]."""
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
"""Content Security Policy Level 3: only our own files, nothing inline, no frames, no forms."""
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
    "cache-control": "no-store",
}
"""Put on every answer that does not say otherwise."""


def is_foreign(headers: Headers) -> bool:
    """Return whether a page of another site is behind the request (Fetch Metadata Request Headers, Sec-Fetch-Site).

    A browser that does not say it (before 2023, Safari) counts as ours; who reads needs the same origin all the same.
    """
    return headers.get("sec-fetch-site", "none") not in ("none", "same-origin")


def _may_come_in(scope: Scope, headers: Headers) -> bool:
    """Return whether a request from another site is somebody who follows a link to the front page, or a customer's."""
    navigates = headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest", "document") == "document"
    there = scope["path"] == "/" or is_customers(scope)
    return navigates and there and scope["method"] in ("GET", "HEAD")


def is_customers(scope: Scope) -> bool:
    """Return whether a page for customers is asked for."""
    return str(scope["path"]).startswith(CUSTOMER)


def _most_bytes(scope: Scope) -> int:
    """Return how long the body of a request may be [bytes]."""
    if scope["method"] != "POST":
        return 0
    return FORM_BYTES if is_customers(scope) else MOST_SENT_BYTES if scope["path"] == PHOTO else BODY_BYTES


def loggable(scope: Scope) -> str:
    """Return the path of a request as it may be written down: the address of a customer's page is a secret."""
    return f"{CUSTOMER}..." if is_customers(scope) else str(scope["path"])


@dataclass(frozen=True, slots=True)
class Rights:
    """What a token is good for: looking always, pressing when ``touch``."""

    touch: bool


class PageGuard:
    """Stands before the application."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        hosts: frozenset[str],
        tokens: Mapping[str, Rights],
        open_rights: Rights | None,
        outside: str = "",
        secure: frozenset[str] = frozenset(),
    ) -> None:
        """Let in who names one of ``hosts`` (``name:port``) and shows one of ``tokens``.

        ``open_rights`` are the rights of those without a token; None: they have none. Who names ``outside`` comes by a
        proxy over TLS, and gets to the pages for customers alone. ``secure`` are hosts at our own TLS port.
        """
        self._app = app
        self._hosts = hosts | secure
        self._secure = secure
        self._tokens = tokens
        self._open_rights = open_rights
        self._outside = outside

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse the request or hand it on, with ``state`` holding its rights."""
        if scope["type"] not in ("http", "websocket"):
            return
        if is_line := scope["type"] == "websocket":
            scope["method"] = "GET"
        headers = Headers(scope=scope)
        answer = self._refusal(scope, headers, must_say_origin=is_line) or self._entrance(scope, headers)
        if is_line:
            if answer is not None:
                await receive()
                await send({"type": "websocket.close", "code": 1008})  # before it was accepted: 403
                return
            await self._app(scope, receive, send)
            return
        app = answer or self._app

        async def dressed(message: Message) -> None:
            if message["type"] == "http.response.start":
                given = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    given.setdefault(name, value)
                given["connection"] = "close"  # one request each, so that no connection lingers
            await send(message)

        await app(scope, receive, dressed)

    def _refusal(self, scope: Scope, headers: Headers, *, must_say_origin: bool) -> Response | None:
        hosts = headers.getlist("host")
        outside = bool(self._outside) and [host.lower() for host in hosts] == [self._outside]
        if outside and (scope["scheme"] != "https" or not is_customers(scope)):
            return refused(scope, 421, "Nothing else is shown at this address.", f"from outside, {scope['scheme']}")
        if not outside and (len(hosts) != 1 or hosts[0].lower() not in self._hosts):
            return refused(scope, 421, "This is not the address of the display.", f"host {hosts}")
        is_secure = hosts[0].lower() in self._secure
        if is_secure and scope["scheme"] not in ("https", "wss"):
            return refused(scope, 421, "This is not the address of the display.", "no TLS")
        origins = headers.getlist("origin")
        own = [f"{'https' if outside or is_secure else 'http'}://{hosts[0].lower()}"]
        if is_foreign(headers) and not self._lets_in(scope, headers):
            return refused(scope, 403, "Another page may not open this one: open it from the display.", "cross-site")
        if (origins or must_say_origin or scope["method"] == "POST") and [origin.lower() for origin in origins] != own:
            return refused(scope, 403, "Another page may not use this one.", f"origin {origins}")
        length = headers.get("content-length", "0")
        size = whole_number(length)
        if size is None or size > _most_bytes(scope) or "transfer-encoding" in headers:
            return refused(scope, 413, "That is too much.", f"body {length}")
        if len(scope["query_string"]) > self._most_query(scope):
            return refused(scope, 414, "That is too much.", "query")
        if sum(len(name) + len(value) for name, value in scope["headers"]) > HEADER_BYTES:
            return refused(scope, 431, "That is too much.", "headers")
        return None

    def _lets_in(self, scope: Scope, headers: Headers) -> bool:
        """Return whether a request from another site may come in all the same."""
        return _may_come_in(scope, headers)

    def _most_query(self, _scope: Scope) -> int:
        """Return how long the query of a request may be [bytes]."""
        return QUERY_BYTES

    def _entrance(self, scope: Scope, headers: Headers) -> Response | None:
        """Return the answer to who has no right to enter, or brings the token in the address; else note the rights."""
        if is_customers(scope):
            return None
        query = parse_qsl(scope["query_string"].decode("latin-1"), keep_blank_values=True)
        given = next((value for name, value in query if name == "token"), None)
        cookie = f"display-{headers['host'].rpartition(':')[2]}"  # cookies know no ports, and no TLS may change one
        if given is not None and self._rights(given) is not None:
            rest = urlencode([(name, value) for name, value in query if name != "token"])
            answer = RedirectResponse("." + (f"?{rest}" if rest else ""), 303)
            is_secure = headers["host"].lower() in self._secure
            answer.set_cookie(
                cookie, given, max_age=COOKIE_S, path="/", httponly=True, samesite="lax", secure=is_secure
            )
            return answer
        rights = self._rights(cookie_parser(headers.get("cookie", "")).get(cookie, "")) or self._open_rights
        if rights is None:
            why = "a wrong token" if given is not None else "no token"
            return refused(scope, 403, "Scan the code on the bay's screen, or ask there for the link.", why)
        scope.setdefault("state", {})["rights"] = rights
        return None

    def _rights(self, token: str) -> Rights | None:
        found = None
        for known, rights in self._tokens.items():
            if secrets.compare_digest(known.encode(), token.encode("utf-8", "replace")):
                found = rights
        return found


def refused(scope: Scope, status: int, sentence: str, why: str) -> Response:
    """Return the answer to a request that is refused, and log it in one line of bounded length."""
    client = (scope.get("client") or ("?",))[0]
    line = f"refused {status}: {scope['method']} {loggable(scope)!r:.80} from {client}: {why!r:.120}"
    LOG.warning("%s", line.encode("ascii", "backslashreplace").decode())
    return PlainTextResponse(sentence + "\n", status)
