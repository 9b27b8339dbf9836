"""Logging in and out of the office by way of a provider."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from assistant.display.board import LOG
from assistant.display.office_guard import NoEntry
from assistant.display.shop_routes import MakesPages


class LogsIn(Protocol):
    """Logs people in; ``session`` and ``login`` are the names of its cookies, which last so long [s]."""

    session: str
    login: str
    session_s: int
    login_s: int

    def begin(self, wanted: str) -> tuple[str, str]:
        """Return where the browser logs in, and the value of its cookie until it comes back."""

    def back(self, given: Mapping[str, str], cookies: Mapping[str, str]) -> tuple[str, str]:
        """Return the value of the session of who came back, and the page that was wanted."""

    def end(self, cookies: Mapping[str, str]) -> None:
        """Log who asks out."""


class LoginRoutes:
    """Answers requests for it; the cookies are for this host alone, over TLS alone, and no script reads them."""

    def __init__(self, logs_in: LogsIn, page: MakesPages) -> None:
        """Log in by ``logs_in``."""
        self._logs_in, self._page = logs_in, page

    def routes(self) -> list[Route]:
        """Return the routes."""
        return [
            Route("/login", self._login),
            Route("/login/back", self._back),
            Route("/logout", self._logout, methods=["POST"]),
        ]

    def _login(self, request: Request) -> Response:
        wanted = request.query_params.get("next", "/")
        if not wanted.startswith("/") or wanted.startswith(("//", "/\\", "/login", "/logout")):
            wanted = "/"
        try:
            address, browser = self._logs_in.begin(wanted)
        except NoEntry as fault:
            return self._refused(request, fault, 503)
        answer = RedirectResponse(address, 303)
        self._put(answer, self._logs_in.login, browser, self._logs_in.login_s)
        return answer

    def _back(self, request: Request) -> Response:
        try:
            session, wanted = self._logs_in.back(dict(request.query_params), request.cookies)
        except NoEntry as fault:
            return self._refused(request, fault, 403)
        answer = RedirectResponse(wanted, 303)
        self._put(answer, self._logs_in.session, session, self._logs_in.session_s)
        self._put(answer, self._logs_in.login, "", 0)
        return answer

    def _logout(self, request: Request) -> Response:
        self._logs_in.end(request.cookies)
        answer = self._page(
            request, "message.html", sentence="You are logged out here.", nav=[("/login", "Log in", True)]
        )
        self._put(answer, self._logs_in.session, "", 0)
        return answer

    def _refused(self, request: Request, fault: NoEntry, status: int) -> Response:
        LOG.warning("refused %d: login: %.120r", status, fault.why)
        page = self._page(request, "message.html", sentence=fault.sentence, nav=[("/login", "Log in", True)])
        return HTMLResponse(page.body, status, {"content-security-policy": page.headers["content-security-policy"]})

    def _put(self, answer: Response, name: str, value: str, seconds: int) -> None:
        answer.set_cookie(name, value, max_age=seconds, path="/", secure=True, httponly=True, samesite="lax")
