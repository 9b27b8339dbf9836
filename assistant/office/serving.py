"""Serves the pages of the office: who may look, where, and what they show."""

from __future__ import annotations

import ipaddress
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path
from urllib.parse import urlsplit

from assistant.central.place import read_place
from assistant.desk.display import LOOPBACK, display_address, log_to, sockets_for
from assistant.desk.options import DisplayOptions
from assistant.desk.secure import Secured
from assistant.display.board import LOG
from assistant.display.changes import Changes
from assistant.display.office_pages import OfficeAccess, OfficePages
from assistant.display.server import DisplayFault, Server
from assistant.office.desk import OfficeDesk
from assistant.office.links import Links
from assistant.office.logins import ByOidc, ByProxy, Logins, LoginsFault, read_logins
from assistant.office.oidc import OidcFault
from assistant.office.watching import Watch
from assistant.office.who import ProxyWho, Sessions, ThisComputer
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.worker import Failure

_LOCAL_ONLY = (
    "The office shows what people said and who they are, so it is served to the network only with logins; write them "
    "into office.toml beside the settings (docs/office.md), or leave --display-host out to see it on this computer."
)
_BACK = "/login/back"


class OfficeServer:
    """The pages of the office, served from the moment on that this is made until it is closed."""

    def __init__(
        self, options: DisplayOptions, central: str, token: Path, *, procedures: Path, https: str = ""
    ) -> None:
        """Serve what the store at ``central`` has, whose token stands in the file ``token``.

        ``https``: over TLS ``beside`` plain HTTP, or ``only`` so, as for the page of a bay.

        Raises:
            Refusal: it cannot be served there, or the logins cannot be used.
            CentralFault: ``central`` is no address, or the token cannot be read.
        """
        place = read_place(central, token)
        address = display_address(options.host)
        try:
            logins = read_logins(home())
        except LoginsFault as fault:
            raise Refusal(fault.sentence, Exit.USAGE) from fault
        local = ipaddress.ip_address(address).is_loopback
        if logins is None and not local:
            raise Refusal(_LOCAL_ONLY, Exit.DISPLAY)
        if not local and not (isinstance(logins, Logins) and isinstance(logins.way, ByProxy)):
            https = "only"  # a login is not sent over the network for everybody to read
        log_to(home() / "office.log")
        self.changes = Changes()
        self.watch = Watch(place, self.changes.note, _log, lambda: self.desk.listed("due"))
        self.links = Links(place)
        self.desk = OfficeDesk(self.watch, self.links, procedures, (central, str(token.absolute())))
        try:
            with ExitStack() as stack:
                heard, tls = sockets_for(stack, options, address, https)
                self._secure = tls
                plain = heard.getsockname()[1] if heard else 0
                name = options.host.lower() or LOOPBACK
                self.link = f"http://{name}:{plain}/" if heard or tls is None else tls.base
                access = _access(
                    logins, {address, "localhost", name} if local else {address, name}, plain, tls, self.link
                )
                pages = OfficePages(self.desk, self.changes, access)
                self._server = Server(
                    pages.app(),
                    heard,
                    tls=tls.tls if tls else None,
                    watch=self.changes.watch,
                    on_failure=_log,
                    office=True,
                )
                self.watch.start()
                self._server.start()
                stack.pop_all()
        except DisplayFault as fault:
            raise Refusal(fault.sentence, Exit.DISPLAY) from fault
        except OidcFault as fault:
            raise Refusal(fault.sentence, Exit.USAGE) from fault

    def invitation(self) -> str:
        """Return the lines that tell people where to look."""
        lines = [self.watch.trouble] if self.watch.trouble else []
        lines.append(f"Look at {self.link}")
        if self._secure is not None:
            if self._secure.base != self.link:
                lines.append(f"Over TLS: {self._secure.base}")
            lines.append("The certificate's SHA-256 fingerprint is:")
            lines.append(self._secure.certificate.fingerprint)
        return "\n".join(lines)

    def close(self) -> None:
        """Stop serving."""
        closing: tuple[Callable[[], None], ...] = (
            self.changes.close, self._server.close, self.watch.close, self.desk.close, self.links.close,
        )  # fmt: skip
        for close in closing:
            close()


def _access(logins: Logins | None, names: set[str], plain: int, tls: Secured | None, link: str) -> OfficeAccess:
    """Return who may come in at ``names``, by the ports of plain HTTP and of TLS.

    Raises:
        OidcFault: what such logins need is not installed.
    """
    hosts = frozenset(f"{name}:{plain}" for name in names) if plain else frozenset()
    secure = frozenset(f"{name}:{tls.port}" for name in names) if tls else frozenset()
    if logins is None:
        return OfficeAccess(hosts, secure, ThisComputer())
    if logins.address.startswith("https://"):
        secure |= {urlsplit(logins.address).netloc.lower()}
    match logins.way:
        case ByProxy() as way:
            return OfficeAccess(hosts, secure, ProxyWho(logins, way), way.networks)
        case ByOidc() as oidc:
            sessions = Sessions(logins, oidc, (logins.address or link.rstrip("/")) + _BACK, time.time)
            return OfficeAccess(hosts, secure, sessions, logs_in=sessions)


def _log(failure: Failure) -> None:
    LOG.error("%s failed: %s at %s; %s", failure.part, failure.error, failure.at, failure.then)
