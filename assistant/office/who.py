"""Who asks for a page of the office: by a proxy, by a session, or whoever sits at this computer."""

from __future__ import annotations

import secrets
import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from assistant.display.office_guard import NO_ROLE, NoEntry, is_among
from assistant.display.roles import OfficePerson, OfficeRole
from assistant.office.logins import ByOidc, ByProxy, Logins
from assistant.office.oidc import OidcFault, Provider
from assistant.visible import one_line

SESSION_COOKIE, LOGIN_COOKIE = "__Host-office", "__Host-office-login"
"""Cookies of who is logged in, and of a browser that is about to be; for one host, over TLS (RFC 6265bis, 4.1.3)."""
SESSION_S = 8 * 3600
"""So long a login lasts [s]: a working day."""
LOGIN_S = 600
_MOST_SESSIONS, _MOST_LOGINS = 2000, 500
_T = TypeVar("_T")


class ThisComputer:
    """Whoever sits at this computer is the office: nothing is served to the network then."""

    def who(self, _client: str, _header: Callable[[str], Sequence[str]], _cookies: Mapping[str, str]) -> OfficePerson:
        """Return the office."""
        return OfficePerson("", OfficeRole.OFFICE)


class ProxyWho:
    """Believes the headers of the proxies that the settings name, and nobody else."""

    def __init__(self, logins: Logins, way: ByProxy) -> None:
        """Believe as ``logins`` say."""
        self._logins, self._way = logins, way

    def who(self, client: str, header: Callable[[str], Sequence[str]], _cookies: Mapping[str, str]) -> OfficePerson:
        """Return whom the proxy says that it is.

        Raises:
            NoEntry: he does not come by the proxy, is not logged in there, or has no role.
        """
        if not is_among(client, self._way.networks):
            raise NoEntry("Come by the address of the office: it is not shown to who comes past its proxy.", "no proxy")
        names = header(self._way.user_header)
        if len(names) != 1 or not names[0].strip():
            raise NoEntry("The proxy does not say who you are: log in there.", f"{len(names)} names")
        groups = [one.strip() for given in header(self._way.groups_header) for one in given.split(",")]
        role = self._logins.role_of(groups)
        if role is None:
            raise NoEntry(NO_ROLE, f"no role for {one_line(names[0])[:60]}")
        return OfficePerson(one_line(names[0].strip())[:80], role)


@dataclass(frozen=True, slots=True)
class _Begun:
    """A login that was begun: by which browser, what must come back, and which page was wanted."""

    browser: str
    nonce: str
    verifier: str
    wanted: str
    until_s: float


class Sessions:
    """Logins by OpenID Connect, and who is logged in; both are forgotten when the office is started anew."""

    def __init__(self, logins: Logins, way: ByOidc, back: str, now: Callable[[], float]) -> None:
        """Log in as ``logins`` say, and let the provider send people to ``back``; ``now`` is in seconds.

        Raises:
            OidcFault: what is needed is not installed.
        """
        self._logins, self._way, self._now = logins, way, now
        self._provider = Provider(way, back, now)
        self._guard = threading.Lock()
        self._begun: OrderedDict[str, _Begun] = OrderedDict()
        self._people: OrderedDict[str, tuple[OfficePerson, float]] = OrderedDict()

    session, login, session_s, login_s = SESSION_COOKIE, LOGIN_COOKIE, SESSION_S, LOGIN_S

    def who(self, _client: str, _header: Callable[[str], Sequence[str]], cookies: Mapping[str, str]) -> OfficePerson:
        """Return whose session it is.

        Raises:
            NoEntry: nobody's, or not any more.
        """
        with self._guard:
            person, until_s = self._people.get(cookies.get(SESSION_COOKIE, ""), (None, 0.0))
        if person is None or until_s <= self._now():
            raise NoEntry("Log in first.", "no session", login=True)
        return person

    def begin(self, wanted: str) -> tuple[str, str]:
        """Return where the browser logs in, and the value of its cookie until it comes back; then to ``wanted``.

        Raises:
            NoEntry: the provider does not answer.
        """
        state, browser = secrets.token_urlsafe(24), secrets.token_urlsafe(24)
        begun = _Begun(browser, secrets.token_urlsafe(24), secrets.token_urlsafe(48), wanted, self._now() + LOGIN_S)
        try:
            address = self._provider.address(state, begun.nonce, begun.verifier)
        except OidcFault as fault:
            raise NoEntry(fault.sentence, fault.why) from fault
        self._put(self._begun, state, begun, _MOST_LOGINS)
        return address, browser

    def back(self, given: Mapping[str, str], cookies: Mapping[str, str]) -> tuple[str, str]:
        """Take what the provider sent the browser back with; return the value of its session, and the page it wanted.

        Raises:
            NoEntry: this browser did not begin it, or nobody is logged in by it.
        """
        with self._guard:
            begun = self._begun.pop(given.get("state", ""), None)
        browser = cookies.get(LOGIN_COOKIE, "")
        if (
            begun is None
            or begun.until_s <= self._now()
            or not secrets.compare_digest(begun.browser.encode(), browser.encode("utf-8", "replace"))
        ):
            raise NoEntry(
                "This login was not begun here, or too long ago: open the office and log in once more.", "state"
            )
        if "code" not in given:
            raise NoEntry("The provider did not log you in: try once more, or ask who looks after it.", "no code")
        try:
            claims = self._provider.claims(given["code"], begun.nonce, begun.verifier)
        except OidcFault as fault:
            raise NoEntry(fault.sentence, fault.why) from fault
        role = self._logins.role_of(_groups(claims.get(self._way.claim)))
        if role is None:
            raise NoEntry(NO_ROLE, "no role")
        name = next((str(claims[key]) for key in ("name", "preferred_username", "sub") if claims.get(key)), "")
        session = secrets.token_urlsafe(32)
        self._put(
            self._people, session, (OfficePerson(one_line(name)[:80], role), self._now() + SESSION_S), _MOST_SESSIONS
        )
        return session, begun.wanted

    def end(self, cookies: Mapping[str, str]) -> None:
        """Log who asks out."""
        with self._guard:
            self._people.pop(cookies.get(SESSION_COOKIE, ""), None)

    def _put(self, kept: OrderedDict[str, _T], key: str, value: _T, most: int) -> None:
        with self._guard:
            kept[key] = value
            while len(kept) > most:
                kept.popitem(last=False)


def _groups(claim: Any) -> list[str]:
    """Return the groups of a claim: a list of texts, or one text with spaces or commas between them."""
    if isinstance(claim, str):
        return [claim, *claim.replace(",", " ").split()]
    return [one for one in claim if isinstance(one, str)] if isinstance(claim, list) else []
