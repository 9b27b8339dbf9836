"""Joins the display to a job: who may look, what the pages show, and the way of a press into the job."""

from __future__ import annotations

import ipaddress
import logging
import socket
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import dataclass, replace
from logging.handlers import RotatingFileHandler
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from assistant.desk.options import DisplayOptions
from assistant.desk.pages import BayDesk
from assistant.desk.secure import Secured, secured, wanted
from assistant.display.board import LOG, Board
from assistant.display.customer import Customers
from assistant.display.guard import Rights
from assistant.display.headset import PhonePage
from assistant.display.link import terminal_code, token_at
from assistant.display.pages import Access, Pages
from assistant.display.photos import TakesPhotos
from assistant.display.server import DisplayFault, Server, listening_socket
from assistant.files import private_file, private_folder
from assistant.phone.installed import NO_EXTRA
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.worker import OnFailure

if TYPE_CHECKING:
    from assistant.phone.headset import Headset

LOOPBACK = "127.0.0.1"
_LOG_BYTES = 256 * 1024


class Display:
    """The page of one bay, served from the moment on that this is made until it is closed."""

    def __init__(
        self,
        options: DisplayOptions,
        *,
        procedures: Path,
        press: Callable[[str, str], bool] | None = None,
        choose: Callable[[Mapping[str, str]], None] | None = None,
        scan: Callable[[str], None] | None = None,
        job: bool = True,
        on_failure: OnFailure | None = None,
        customers: Customers | None = None,
        photos: TakesPhotos | None = None,
        outside: str = "",
        https: str = "",
        phone: Headset | None = None,
    ) -> None:
        """Serve. ``procedures`` is the folder that the desk pages list; ``customers`` have pages of their own.

        ``press`` takes the phrase of a touched button and where in a hand-over it counts ("": anywhere), and tells
        whether it does; ``choose`` takes what is pressed on the page of a bay that waits, ``scan`` a code that a reader
        at a page read, and ``photos`` what a page sends.

        ``outside`` is the address of a TLS proxy on this computer by which customers come ("": none).

        ``https``: in the shop's network over TLS as well (``beside``), or ``only`` so. ``phone`` is what a phone on the
        page may become the headset of.

        Without ``job`` there are only the pages for the desk. ``on_failure`` is told when the server breaks.

        Raises:
            Refusal: it cannot be served there.
        """
        address, host = display_address(options.host), options.host.lower() or LOOPBACK
        is_local = ipaddress.ip_address(address).is_loopback
        log_to(home() / "display.log")
        self.board = Board()
        """The screen for the runner."""
        try:
            with ExitStack() as stack:
                heard, tls = sockets_for(stack, options, address, https)
                self._secure = tls
                base = tls.base if heard is None and tls else f"http://{host}:{_port(heard)}/"
                self._access, self._links = _access(options, address, base, tls)
                self._access = replace(self._access, outside=outside.removeprefix("https://"))
                self.touch_link = self._links.touching
                self.link = self._links.looking
                self._lacks = NO_EXTRA if https and not is_local and tls is None else ""
                self.desk = BayDesk(procedures)
                if photos is not None and options.touch:
                    photos.page = self.board.ask_photo
                pages = Pages(
                    self.board if job else None,
                    self.desk,
                    self._access,
                    press=press if options.touch else None,
                    choose=choose if options.touch else None,
                    scan=scan if options.touch else None,
                    customers=customers,
                    photos=photos,
                    phone=self._phone_page(phone, is_local),
                )
                self._server = Server(
                    pages.app(),
                    heard,
                    tls=tls.tls if tls else None,
                    lines=phone is not None,
                    watch=self.board.watch,
                    on_failure=on_failure,
                    proxies=f"{LOOPBACK},{address}" if outside else "",
                )
                self._server.start()
                stack.pop_all()
        except DisplayFault as fault:
            raise Refusal(fault.sentence, Exit.DISPLAY) from fault

    def invitation(self) -> str:
        """Return the lines that tell people where to look."""
        lines = [self._lacks] if self._lacks else []
        if not self._access.link:
            return "\n".join([*lines, f"Look at {self.link}"])
        lines += ["The link, for whoever has this link:", self.link, terminal_code(self.link)]
        if self.touch_link:
            lines += ["The same with the touch buttons; whoever has this link can press next:", self.touch_link]
            lines.append(terminal_code(self.touch_link))
        if self._secure is not None:
            lines += self._over_tls(self._secure)
        return "\n".join(lines)

    def _over_tls(self, secure: Secured) -> list[str]:
        """Return the lines about the way over TLS, and how to know its certificate."""
        lines = [secure.certificate.warning] if secure.certificate.warning else []
        link = self._links.secure_touching or self._links.secure_looking
        if link not in (self.link, self.touch_link):
            lines += ["Over HTTPS, for a phone that is to be the headset:", link, terminal_code(link)]
        return [
            *lines,
            "The phone warns once that it does not know who signed; the certificate's SHA-256 fingerprint must be:",
            secure.certificate.fingerprint,
        ]

    def _phone_page(self, phone: Headset | None, is_local: bool) -> PhonePage | None:
        if phone is None:
            return None
        from assistant.phone.talk import PhoneLine  # noqa: PLC0415 - only a page that a phone may speak to needs sound

        line, links, secure = PhoneLine(phone), self._links, self._secure
        if secure is None:
            return PhonePage(line, local=is_local)
        certificate = secure.certificate
        return PhonePage(
            line, links.secure_looking, links.secure_touching, certificate.fingerprint, certificate.root, is_local
        )

    def close(self) -> None:
        """Stop serving."""
        self.board.close()
        self.desk.close()
        self._server.close()


def sockets_for(
    stack: ExitStack, options: DisplayOptions, address: str, https: str
) -> tuple[socket.socket | None, Secured | None]:
    """Return the socket for plain HTTP, and what is served over TLS; one of them may be missing.

    Raises:
        DisplayFault: it cannot be served there.
        Refusal: it may be served over TLS alone, and cannot.
    """
    how = wanted(https, local=ipaddress.ip_address(address).is_loopback)
    host = options.host.lower()
    if how == "only":
        return None, secured(stack, host, address, options.port)
    heard = stack.enter_context(listening_socket(address, options.port))
    if not how:
        return heard, None
    return heard, secured(stack, host, address, options.port and options.port + 1)


def _port(heard: socket.socket | None) -> int:
    return heard.getsockname()[1] if heard else 0


@dataclass(frozen=True, slots=True)
class _Links:
    """The links to the page, with their secrets where they have one ("": there is none)."""

    looking: str
    touching: str = ""
    secure_looking: str = ""
    secure_touching: str = ""


def _access(options: DisplayOptions, address: str, base: str, secure: Secured | None) -> tuple[Access, _Links]:
    """Return who may come in at ``base``, and at what is ``secure``, and the links for it.

    Raises:
        Refusal: a secret cannot be kept.
    """
    port = urlsplit(base).port
    if ipaddress.ip_address(address).is_loopback:
        names = {address, "localhost", options.host.lower() or address}
        return Access(frozenset(f"{name}:{port}" for name in names), open_rights=Rights(options.touch)), _Links(base)
    try:
        private_folder(home())
        looking = token_at(home() / "display-token")
        tokens, touching = {looking: Rights(touch=False)}, ""
        if options.touch:
            touching = token_at(home() / "display-touch-token")
            tokens[touching] = Rights(touch=True)
    except OSError as fault:
        raise Refusal(
            f"The secret of the display cannot be kept in {home()} ({fault.strerror}); make room there, or leave "
            "--display-host out.",
            Exit.DISPLAY,
        ) from fault

    def links(start: str) -> tuple[str, str]:
        return f"{start}?token={looking}", f"{start}?token={touching}" if touching else ""

    names = {address, options.host.lower()}
    at = frozenset(f"{name}:{port}" for name in names)
    own = links(base)
    if secure is None:
        return Access(at, tokens, link=own[0], touch_link=own[1]), _Links(*own)
    secure_at = frozenset(f"{name}:{secure.port}" for name in names)
    plain = frozenset() if base == secure.base else at
    return Access(plain, tokens, link=own[0], touch_link=own[1], secure=secure_at), _Links(*own, *links(secure.base))


def log_to(path: Path) -> None:
    """Write what the server has to say (refused requests above all) into ``path``, which stays small."""
    try:
        private_folder(path.parent)
        private_file(path)
        kept: logging.Handler = RotatingFileHandler(
            path, maxBytes=_LOG_BYTES, backupCount=1, encoding="utf-8", delay=True
        )
    except OSError:
        kept = logging.NullHandler()
    kept.setFormatter(logging.Formatter("%(asctime)s %(name)s %(message)s"))
    for logger in (LOG, logging.getLogger("uvicorn")):
        for before in logger.handlers[:]:
            logger.removeHandler(before)
            before.close()
        logger.addHandler(kept)
        logger.setLevel(logging.WARNING)
        logger.propagate = False


def display_address(host: str) -> str:
    """Return the IPv4 address that ``host`` means.

    Raises:
        Refusal: it means none, or every address of the machine at once.
    """
    if not host:
        return LOOPBACK
    try:
        address = str(socket.getaddrinfo(host, None, socket.AF_INET)[0][4][0])
    except (OSError, UnicodeError) as fault:
        raise Refusal(
            f'--display-host "{host}" is not known here; give the IPv4 address of this machine in the shop\'s network.',
            Exit.DISPLAY,
        ) from fault
    if ipaddress.ip_address(address).is_unspecified:
        raise Refusal(
            f"--display-host {host} would open the page to every network; give the one address of this machine in the "
            "shop's network (ip address shows it).",
            Exit.DISPLAY,
        )
    return address
