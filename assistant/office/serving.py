"""Serves the pages of the office: who may look, where, and what they show."""

from __future__ import annotations

import ipaddress
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from assistant.central.place import read_place
from assistant.desk.display import LOOPBACK, display_address, log_to
from assistant.desk.options import DisplayOptions
from assistant.display.board import LOG
from assistant.display.changes import Changes
from assistant.display.guard import Rights
from assistant.display.office_pages import OfficePages
from assistant.display.pages import Access
from assistant.display.server import DisplayFault, Server, listening_socket
from assistant.office.desk import OfficeDesk
from assistant.office.links import Links
from assistant.office.watching import Watch
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.worker import Failure

_LOCAL_ONLY = (
    "The office shows what people said and who they are, so it is served to the network only with logins; write them "
    "into office.toml (docs/office.md), or leave --display-host out to see it on this computer."
)


class OfficeServer:
    """The pages of the office, served from the moment on that this is made until it is closed."""

    def __init__(self, options: DisplayOptions, central: str, token: Path, *, procedures: Path) -> None:
        """Serve what the store at ``central`` has, whose token stands in the file ``token``.

        Raises:
            Refusal: it cannot be served there.
            CentralFault: ``central`` is no address, or the token cannot be read.
        """
        place = read_place(central, token)
        address = display_address(options.host)
        if not ipaddress.ip_address(address).is_loopback:
            raise Refusal(_LOCAL_ONLY, Exit.DISPLAY)
        log_to(home() / "office.log")
        self.changes = Changes()
        self.watch = Watch(place, self.changes.note, _log)
        self.links = Links(place)
        self.desk = OfficeDesk(self.watch, self.links, procedures, (central, str(token.absolute())))
        try:
            with ExitStack() as stack:
                heard = stack.enter_context(listening_socket(address, options.port))
                port = heard.getsockname()[1]
                self.link = f"http://{options.host.lower() or LOOPBACK}:{port}/"
                names = {address, "localhost", options.host.lower() or address}
                access = Access(frozenset(f"{name}:{port}" for name in names), open_rights=Rights(touch=False))
                pages = OfficePages(self.desk, self.changes, access)
                self._server = Server(pages.app(), heard, watch=self.changes.watch, on_failure=_log)
                self.watch.start()
                self._server.start()
                stack.pop_all()
        except DisplayFault as fault:
            raise Refusal(fault.sentence, Exit.DISPLAY) from fault

    def invitation(self) -> str:
        """Return the lines that tell people where to look."""
        trouble = f"{self.watch.trouble}\n" if self.watch.trouble else ""
        return f"{trouble}Look at {self.link}"

    def close(self) -> None:
        """Stop serving."""
        closing: tuple[Callable[[], None], ...] = (
            self.changes.close, self._server.close, self.watch.close, self.desk.close, self.links.close,
        )  # fmt: skip
        for close in closing:
            close()


def _log(failure: Failure) -> None:
    LOG.error("%s failed: %s at %s; %s", failure.part, failure.error, failure.at, failure.then)
