"""Joins the display to a job: who may look, what the pages show, and the way of a press into the job."""

from __future__ import annotations

import ipaddress
import logging
import socket
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from dataclasses import replace
from logging.handlers import RotatingFileHandler
from pathlib import Path

from assistant.desk.options import DisplayOptions
from assistant.desk.pages import BayDesk
from assistant.display.board import LOG, Board
from assistant.display.customer import Customers
from assistant.display.guard import Rights
from assistant.display.link import terminal_code, token_at
from assistant.display.pages import Access, Pages
from assistant.display.photos import TakesPhotos
from assistant.display.server import DisplayFault, Server, listening_socket
from assistant.files import private_file, private_folder
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.worker import OnFailure

LOOPBACK = "127.0.0.1"
_LOG_BYTES = 256 * 1024


class Display:
    """The page of one bay, served from the moment on that this is made until it is closed."""

    def __init__(
        self,
        options: DisplayOptions,
        *,
        procedures: Path,
        press: Callable[[str], bool] | None = None,
        choose: Callable[[Mapping[str, str]], None] | None = None,
        scan: Callable[[str], None] | None = None,
        job: bool = True,
        on_failure: OnFailure | None = None,
        customers: Customers | None = None,
        photos: TakesPhotos | None = None,
        outside: str = "",
    ) -> None:
        """Serve. ``procedures`` is the folder that the desk pages list; ``customers`` have pages of their own.

        ``press`` takes the phrase of a touched button, and tells whether that counts; ``choose`` takes what is pressed
        on the page of a bay that waits, ``scan`` a code that a reader at a page read, and ``photos`` what a page sends.

        ``outside`` is the address of a TLS proxy on this computer by which customers come ("": none).

        Without ``job`` there are only the pages for the desk. ``on_failure`` is told when the server breaks.

        Raises:
            Refusal: it cannot be served there.
        """
        address = display_address(options.host)
        log_to(home() / "display.log")
        self.board = Board()
        """The screen for the runner."""
        try:
            with ExitStack() as stack:
                heard = stack.enter_context(listening_socket(address, options.port))
                access, self.touch_link = _access(options, address, heard.getsockname()[1])
                self._access = replace(access, outside=outside.removeprefix("https://"))
                self.link = self._access.link or f"http://{LOOPBACK}:{heard.getsockname()[1]}/"
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
                )
                self._server = Server(
                    pages.app(),
                    heard,
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
        if not self._access.link:
            return f"Look at {self.link}"
        lines = ["The link, for whoever has this link:", self.link, terminal_code(self.link)]
        if self.touch_link:
            lines += ["The same with the touch buttons; whoever has this link can press next:", self.touch_link]
            lines.append(terminal_code(self.touch_link))
        return "\n".join(lines)

    def close(self) -> None:
        """Stop serving."""
        self.board.close()
        self.desk.close()
        self._server.close()


def _access(options: DisplayOptions, address: str, port: int) -> tuple[Access, str]:
    """Return who may come in at ``address`` and ``port``, and the link with the touch buttons ("" when there is none).

    Raises:
        Refusal: a secret cannot be kept.
    """
    if ipaddress.ip_address(address).is_loopback:
        names = {address, "localhost", options.host.lower() or address}
        return Access(frozenset(f"{name}:{port}" for name in names), open_rights=Rights(options.touch)), ""
    base = f"http://{options.host.lower()}:{port}/"
    try:
        private_folder(home())
        looking = token_at(home() / "display-token")
        tokens, touch_link = {looking: Rights(touch=False)}, ""
        if options.touch:
            touching = token_at(home() / "display-touch-token")
            tokens[touching], touch_link = Rights(touch=True), f"{base}?token={touching}"
    except OSError as fault:
        raise Refusal(
            f"The secret of the display cannot be kept in {home()} ({fault.strerror}); make room there, or leave "
            "--display-host out.",
            Exit.DISPLAY,
        ) from fault
    hosts = frozenset(f"{name}:{port}" for name in (address, options.host.lower()))
    return Access(hosts, tokens, link=f"{base}?token={looking}"), touch_link


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
