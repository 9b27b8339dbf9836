"""The page for the customer: a secret address, two buttons for each piece of extra work, and nothing else of the job.

It needs no script. A button leads to a second page that says once more what would be answered; only the button there
answers. Every form carries a key that is made from the secret address, a cookie of this browser, and what was shown.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from collections import OrderedDict, deque
from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import FileResponse, RedirectResponse, Response
from starlette.routing import Route
from starlette.templating import Jinja2Templates

from assistant.clock import steady
from assistant.display.customer import CustomerPage, Customers, NotShown
from assistant.display.guard import CUSTOMER, refused
from assistant.files import whole_number

_HERE = Path(__file__).parent
_POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""Content Security Policy of these pages: no script at all."""
CUSTOMER_HEADERS = {
    "content-security-policy": _POLICY,
    "referrer-policy": "same-origin",  # a form must say where it comes from, and nobody else learns the address
    "x-robots-tag": "noindex, nofollow, noarchive",
}
COOKIE = "customer"
_FIELDS = {"number", "say", "shown", "key", "sure"}
_SAYS = {"granted": True, "declined": False}
_BUSY = "There were too many requests. Please wait a minute, and try again."
_STALE = (
    "This button is not good any more. Open the page again from its link; your browser must take the one cookie of "
    "this page."
)


class Often:
    """Counts what happened in the last minute, for each of a bounded number of names."""

    def __init__(self, most: int, now: Callable[[], float] = steady, names: int = 512) -> None:
        """Let ``most`` things a minute pass; ``now`` tells seconds that nobody can set."""
        self._most, self._now, self._names = most, now, names
        self._when: OrderedDict[str, deque[float]] = OrderedDict()

    def is_full(self, name: str) -> bool:
        """Return whether there were too many for ``name``."""
        times = self._when.get(name, deque())
        while times and times[0] <= self._now() - 60.0:
            times.popleft()
        return len(times) >= self._most

    def note(self, name: str) -> None:
        """Count one more for ``name``."""
        self._when.setdefault(name, deque(maxlen=self._most)).append(self._now())
        self._when.move_to_end(name)
        while len(self._when) > self._names:
            self._when.popitem(last=False)


class CustomerRoutes:
    """Answers what is asked below :data:`CUSTOMER`."""

    def __init__(self, customers: Customers, templates: Jinja2Templates) -> None:
        """Show what ``customers`` tell."""
        self._customers, self._templates = customers, templates
        self._wrong, self._looks, self._posts = Often(20), Often(120), Often(20)

    def routes(self) -> list[Route]:
        """Return where the pages are."""
        return [
            Route(f"{CUSTOMER}look.css", _look),
            Route(f"{CUSTOMER}icon.svg", _icon),
            Route(CUSTOMER + "{token}", self._page, methods=["GET"]),
            Route(CUSTOMER + "{token}", self._posted, methods=["POST"]),
            Route(CUSTOMER + "{token}/pictures/{name}", self._picture),
        ]

    async def _page(self, request: Request) -> Response:
        token = request.path_params["token"]
        try:
            page = await self._asked(request, self._looks, lambda: self._customers.page(token))
        except NotShown as fault:
            return self._fault(request, fault)
        nonce = request.cookies.get(COOKIE, "") or secrets.token_urlsafe(16)
        answer = self._render(request, "customer.html", page=page, key=_keys(token, nonce))
        answer.set_cookie(
            COOKIE, nonce, path=CUSTOMER, httponly=True, samesite="strict", secure=request.url.scheme == "https"
        )
        return answer

    async def _posted(self, request: Request) -> Response:
        """Take a button: the first one leads to the question, the one there answers."""
        token = request.path_params["token"]
        try:
            given = _form(await request.body(), request.headers.get("content-type", ""))
        except ClientDisconnect:
            return Response(status_code=408)
        if given is None:
            return refused(request.scope, 400, "That is no button of this page.", "form")
        number, say, sure = whole_number(given["number"]), given["say"], given.get("sure") == "yes"
        key = _keys(token, request.cookies.get(COOKIE, ""))(number, say, given["shown"], sure)
        good = COOKIE in request.cookies and hmac.compare_digest(key.encode(), given["key"].encode())
        try:
            if number is None or say not in _SAYS or not good:
                raise NotShown(_STALE, 403)
            if not sure:
                page = await self._asked(request, self._posts, lambda: self._customers.page(token))
                return self._ask(request, page, number, say, given["shown"])
            await self._asked(
                request,
                self._posts,
                lambda: self._customers.answer(token, number, given["shown"], granted=_SAYS[say]),
            )
        except NotShown as fault:
            return self._fault(request, fault)
        return RedirectResponse(f"{CUSTOMER}{token}#work-{number}", 303)

    def _ask(self, request: Request, page: CustomerPage, number: int, say: str, shown: str) -> Response:
        """Say once more what would be answered."""
        offer = page.offer(number)
        if offer is None or offer.shown != shown:
            raise NotShown("What is shown has changed since you opened this page. Please look at it again.", 409)
        key = _keys(request.path_params["token"], request.cookies[COOKIE])
        return self._render(request, "customer_sure.html", page=page, one=offer, say=say, key=key)

    async def _picture(self, request: Request) -> Response:
        token, name = request.path_params["token"], request.path_params["name"]
        try:
            hung = await self._asked(request, self._looks, lambda: self._customers.picture(token, name))
        except NotShown as fault:
            return self._fault(request, fault)
        return Response(hung.data, media_type=hung.media, headers=CUSTOMER_HEADERS)

    async def _asked(self, request: Request, often: Often, ask: Callable[[], Any]) -> Any:
        """Ask on a thread of its own; who asks too often, or tries addresses, waits.

        Raises:
            NotShown: there is nothing to show.
        """
        address, token = request.client.host if request.client else "", request.path_params["token"]
        name = hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
        if self._wrong.is_full(address) or often.is_full(name):
            raise NotShown(_BUSY, 429)
        often.note(name)
        try:
            return await run_in_threadpool(ask)
        except NotShown as fault:
            if fault.is_secret:
                self._wrong.note(address)
            raise

    def _fault(self, request: Request, fault: NotShown) -> Response:
        refused(request.scope, fault.status, fault.sentence, "customer")
        back = "" if fault.is_secret or fault.status in (410, 429) else request.scope["path"]
        return self._render(request, "customer_message.html", fault.status, sentence=fault.sentence, back=back)

    def _render(self, request: Request, name: str, status: int = 200, **values: Any) -> Response:
        return self._templates.TemplateResponse(request, name, values, status, CUSTOMER_HEADERS)


def _look(_request: Request) -> Response:
    return FileResponse(_HERE / "static" / "customer.css", media_type="text/css")


def _icon(_request: Request) -> Response:
    return FileResponse(_HERE / "static" / "icon.svg", media_type="image/svg+xml")


def _form(body: bytes, media: str) -> dict[str, str] | None:
    """Return the fields of a form of these pages; None when it is none."""
    if media.partition(";")[0].strip().lower() != "application/x-www-form-urlencoded":
        return None
    try:
        pairs = parse_qsl(
            body.decode("ascii"), keep_blank_values=True, strict_parsing=True, max_num_fields=len(_FIELDS)
        )
    except (UnicodeDecodeError, ValueError):
        return None
    given = dict(pairs)
    if len(given) != len(pairs) or not {"number", "say", "shown", "key"} <= given.keys() <= _FIELDS:
        return None
    return given


def _keys(token: str, nonce: str) -> Callable[[object, str, str, bool], str]:
    """Return what makes the key of a form: of this link, this browser, and what was shown beside the button."""

    def key(number: object, say: str, shown: str, sure: bool) -> str:
        words = "\0".join((nonce, str(number), say, shown, str(sure)))
        return hmac.new(token.encode("utf-8", "replace"), words.encode("utf-8", "replace"), "sha256").hexdigest()

    return key
