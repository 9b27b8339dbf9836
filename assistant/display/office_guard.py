"""Stands before the pages of the office: what every page refuses, and then who it is that asks."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable, Mapping, Sequence
from typing import Protocol
from urllib.parse import quote

from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from assistant.display.guard import PageGuard, refused
from assistant.display.roles import OfficePerson, needs_no_login

NO_ROLE = "Your login has no role here: ask the office to put you into a group of mechanics, foremen or office."
_BACK = "/login/back"
_BACK_BYTES = 4096
"""A provider's answer is longer than any address of ours."""


class NoEntry(Exception):
    """Who asks is not let in: ``sentence`` for him, ``why`` for the log. ``login``: he may log in."""

    def __init__(self, sentence: str, why: str, *, login: bool = False) -> None:
        super().__init__(sentence)
        self.sentence, self.why, self.login = sentence, why, login


class KnowsWho(Protocol):
    """Knows who asks."""

    def who(self, client: str, header: Callable[[str], Sequence[str]], cookies: Mapping[str, str]) -> OfficePerson:
        """Return who asks, of the address that he comes from, the values of a header, and his cookies.

        Raises:
            NoEntry: he is not let in.
        """


def is_among(address: str, networks: Sequence[ipaddress.IPv4Network | ipaddress.IPv6Network]) -> bool:
    """Return whether ``address`` is in one of ``networks``; what is no address is in none."""
    try:
        at = ipaddress.ip_address(address)
    except ValueError:
        return False
    return any(at in network for network in networks)


class OfficeGuard(PageGuard):
    """Lets in who is known, and notes who it is: ``state`` holds the person."""

    def __init__(
        self,
        app: ASGIApp,
        *,
        hosts: frozenset[str],
        secure: frozenset[str],
        knows: KnowsWho,
        proxies: Sequence[ipaddress.IPv4Network | ipaddress.IPv6Network] = (),
    ) -> None:
        """Let in whom ``knows`` lets in, at ``hosts``; ``secure`` are those at which TLS is spoken.

        ``proxies`` are believed whether the browser spoke TLS to them (X-Forwarded-Proto).
        """
        super().__init__(app, hosts=hosts, tokens={}, open_rights=None, secure=secure)
        self._knows, self._proxies = knows, proxies

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse the request or hand it on."""
        if scope["type"] == "http" and self._proxies and is_among(_client(scope), self._proxies):
            said = Headers(scope=scope).getlist("x-forwarded-proto")
            if said == ["https"]:
                scope["scheme"] = "https"
        await super().__call__(scope, receive, send)

    def _lets_in(self, scope: Scope, headers: Headers) -> bool:
        """Return whether a request from another site is somebody who follows a link: it only reads."""
        dest = headers.get("sec-fetch-dest", "document")
        return headers.get("sec-fetch-mode") == "navigate" and dest == "document" and scope["method"] in ("GET", "HEAD")

    def _most_query(self, scope: Scope) -> int:
        return _BACK_BYTES if scope["path"] == _BACK else super()._most_query(scope)

    def _entrance(self, scope: Scope, headers: Headers) -> Response | None:
        path = str(scope["path"])
        try:
            person = self._knows.who(_client(scope), headers.getlist, cookie_parser(headers.get("cookie", "")))
        except NoEntry as fault:
            if needs_no_login(path):
                return None
            if fault.login and scope["method"] == "GET" and path != "/events":
                return RedirectResponse(f"/login?next={quote(path)}", 303)
            return refused(scope, 403, fault.sentence, fault.why)
        scope.setdefault("state", {})["person"] = person
        return None


def _client(scope: Scope) -> str:
    return str((scope.get("client") or ("",))[0])
