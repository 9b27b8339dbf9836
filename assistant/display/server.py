"""The thin server: one socket, one thread, one event loop of its own. The adapter of uvicorn."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import ssl
import threading
from collections import Counter
from collections.abc import Callable, Coroutine
from dataclasses import dataclass
from typing import Any

import h11
import uvicorn
from starlette.types import ASGIApp
from uvicorn.protocols.http.h11_impl import H11Protocol

from assistant.display.board import LOG
from assistant.display.guard import HEADER_BYTES
from assistant.display.handshakes import Handshakes
from assistant.display.photos import PHOTO
from assistant.display.stream import EVENTS
from assistant.events import Then
from assistant.worker import Failure, Failures, OnFailure, Worker

MOST_CONNECTIONS = 64
"""More at once are not held: open files are the job's before they are the page's."""
MOST_OF_ADDRESS = 32
"""Nor are more of one address."""
MOST_OF_OFFICE = 512
"""More at once are not held by an office, to which all may come from the one address of a proxy."""
REQUEST_S = 10.0
"""A connection on which no whole request, its body included, came in this time [s] is closed."""
PHOTO_S = 60.0
"""The same for a photo [s]: fifteen million bytes at two megabits a second."""
PAGE_S = 180.0
"""A page that was not made and taken in this time [s] is given up; the stream of events may last."""
MESSAGE_BYTES = 4096
"""A piece of sound from a phone is smaller than this."""
_PING_S = 5.0
"""How often a phone is asked whether it is there, and how long it has to answer [s]."""
_FRESH_S = 6 * 3600.0
"""How often it is looked whether the certificate ends soon [s]."""
_UNTAKEN_MS = 20_000
"""A browser that takes nothing of what waits for it for this long [ms] is let go (tcp(7), TCP_USER_TIMEOUT)."""
_BUFFER_BYTES = 64 * 1024
_START_S = 5.0
_PARTING_S = 0.5
"""How long a browser has to take the last picture when the page is closed [s]."""


class DisplayFault(Exception):
    """The page cannot be served; ``sentence`` says what is wrong, where, and what to do next."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


def listening_socket(host: str, port: int) -> socket.socket:
    """Return a socket that listens on the IPv4 address or name ``host``; ``port`` 0 takes any that is free.

    Raises:
        DisplayFault: the port is taken, or the address is not one of this machine.
    """
    heard = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        heard.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        heard.setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, _BUFFER_BYTES)
        if hasattr(socket, "TCP_USER_TIMEOUT"):
            heard.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, _UNTAKEN_MS)
        heard.bind((host, port))
    except OSError as fault:
        heard.close()
        raise DisplayFault(
            f"The display cannot be served at {host} port {port} ({fault.strerror or fault}); give another "
            "--display-port, or an address of this machine as --display-host."
        ) from fault
    return heard


@dataclass(frozen=True, slots=True)
class Tls:
    """The socket on which the same is served over TLS, and what is shown there; ``renew`` looks after it."""

    heard: socket.socket
    context: ssl.SSLContext
    renew: Callable[[], None]


class Server:
    """Serves an application on a thread of its own until it is closed."""

    def __init__(
        self,
        app: ASGIApp,
        heard: socket.socket | None,
        *,
        tls: Tls | None = None,
        lines: bool = False,
        watch: Callable[[], Coroutine[Any, Any, None]],
        on_failure: OnFailure | None = None,
        proxies: str = "",
        office: bool = False,
    ) -> None:
        """Serve ``app`` on the socket ``heard``, and on that of ``tls``; the coroutine of ``watch`` runs beside it.

        With ``lines`` there are WebSockets as well, for which the extra ``phone`` must be there.
        ``proxies`` are addresses of this computer, parted by commas: who asks from there is believed for whom, and
        whether over TLS. An ``office`` has no job beside it, and holds more connections.
        ``on_failure`` is told on the server's own thread when that breaks; without it, the log is.
        """
        config = uvicorn.Config(
            app,
            http=_OfficeGate if office else _Gate,
            ws="websockets-sansio" if lines else "none",
            ws_max_size=MESSAGE_BYTES,
            ws_ping_interval=_PING_S,
            ws_ping_timeout=_PING_S,
            ws_per_message_deflate=False,
            lifespan="off",
            loop="asyncio",
            access_log=False,
            log_config=None,
            server_header=False,
            proxy_headers=bool(proxies),
            forwarded_allow_ips=proxies,
            h11_max_incomplete_event_size=HEADER_BYTES,
            timeout_graceful_shutdown=1,
        )
        self._ready = threading.Event()
        self._config, self._watch, self._on_failure = config, watch, on_failure or _log
        self._heard, self._tls = heard, tls
        self._server = self._make()
        self._worker = Worker("page", self._serve, on_failure=self._on_failure, mend=self._build_again)

    def start(self) -> None:
        """Begin to serve; returns when the first request can come.

        Raises:
            DisplayFault: it did not begin.
        """
        self._worker.start()
        if not self._ready.wait(_START_S) or not self._worker.is_alive:
            raise DisplayFault("The display did not start; look into display.log in the data folder.")

    def close(self) -> None:
        """Let everybody go."""
        self._server.should_exit = True
        self._worker.close(timeout_s=3.0)
        for heard in (self._heard, self._tls.heard if self._tls else None):
            if heard is not None:
                heard.close()

    def _build_again(self) -> None:
        self._server = self._make()

    def _make(self) -> _Server:
        return _Server(self._config, self._ready, self._watch, self._on_failure, self._tls)

    def _serve(self, _go_on: Callable[[], bool]) -> None:
        heard = [] if self._heard is None else [self._heard.dup()]  # the server closes what it is given
        try:
            self._server.run(sockets=heard)
        finally:
            for one in heard:
                one.close()
            self._ready.set()


def _log(failure: Failure) -> None:
    LOG.error("the page failed: %s at %s; %s", failure.error, failure.at, failure.then)


class _Server(uvicorn.Server):
    """Says when it is ready."""

    def __init__(
        self,
        config: uvicorn.Config,
        ready: threading.Event,
        watch: Callable[[], Coroutine[Any, Any, None]],
        on_failure: OnFailure,
        tls: Tls | None,
    ) -> None:
        super().__init__(config)
        self._tls = tls
        self._gate = _OfficeGate if config.http is _OfficeGate else _Gate
        self._failures = Failures("page", on_failure)
        self._ready = ready
        self._watch = watch
        self._beside: list[asyncio.Future[None]] = []

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        self._beside.append(asyncio.ensure_future(self._watched(self._watch)))
        if self._tls is not None:
            self._beside.append(asyncio.ensure_future(self._watched(self._over_tls(self._tls).serve)))
            self._beside.append(asyncio.ensure_future(self._keep_fresh(self._tls)))
        self._ready.set()

    def _over_tls(self, tls: Tls) -> Handshakes:
        """Return what serves the same on another socket over TLS; uvicorn itself has one kind of socket at a time."""

        def connection() -> asyncio.Protocol:
            return self._gate(config=self.config, server_state=self.server_state, app_state=self.lifespan.state)

        return Handshakes(tls.heard, tls.context, connection)

    async def _keep_fresh(self, tls: Tls) -> None:
        """Look after the certificate as long as it is served: a bay may run for years."""
        while True:
            await asyncio.sleep(_FRESH_S)
            try:
                tls.renew()
            except OSError as fault:
                LOG.error("the certificate cannot be renewed: %s", fault.strerror)

    async def _watched(self, runs: Callable[[], Coroutine[Any, Any, None]]) -> None:
        """Run what ``runs`` beside the server; its end by an exception would be seen by nobody."""
        while True:
            try:
                return await runs()
            except Exception as fault:  # noqa: BLE001 - whatever it is, the page must not stand still for it
                if self._failures.note(fault) is Then.ENDED:
                    return None

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        for one in self._beside:
            one.cancel()
        open_ones = self.server_state.connections
        for _ in range(10):
            if open_ones:
                await asyncio.sleep(_PARTING_S / 10)
        for connection in list(open_ones):
            connection.transport.abort()  # it takes nothing any more
        await super().shutdown(sockets)


class _Gate(H11Protocol):
    """A connection that must ask soon, and of which there are not too many.

    Where there are too many, the newest is let in and one of the address that holds most goes: the oldest that has not
    asked yet, or else the oldest. So whoever holds connections open keeps nobody away.
    """

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        super().connection_made(transport)
        self.since = self.loop.time()
        self._make_room()
        self.loop.call_later(REQUEST_S, self._late)
        self.loop.call_later(PHOTO_S, self._late, PHOTO_S)
        self.loop.call_later(PAGE_S, self._too_long)

    most, most_of_address = MOST_CONNECTIONS, MOST_OF_ADDRESS
    is_line = False
    """Whether it became a line for sound, which is looked after elsewhere."""

    def handle_websocket_upgrade(self, event: h11.Request) -> None:
        self.is_line = True
        super().handle_websocket_upgrade(event)

    @property
    def address(self) -> str:
        """Where it comes from."""
        return self.client[0] if self.client else ""

    @property
    def waits(self) -> bool:
        """Whether its request is not here as a whole yet."""
        return self.cycle is None or (self.cycle.more_body and not self.cycle.response_started)

    def let_go(self, why: str, *values: object) -> None:
        """End it at once."""
        LOG.warning(f"refused: {why}", *values)
        with contextlib.suppress(OSError):
            self.transport.abort()

    def _make_room(self) -> None:
        held = [one for one in self.connections if isinstance(one, _Gate) and not one.transport.is_closing()]
        counts = Counter(one.address for one in held)
        address, most = self.address, self.most_of_address
        if counts[address] <= most and len(held) > self.most:
            (address, _), most = counts.most_common(1)[0], self.most
        elif counts[address] <= most:
            return
        others = [one for one in held if one.address == address and one is not self]
        oldest = min(others, key=lambda one: (not one.waits, one.since), default=self)
        oldest.let_go("more than %d connections", most)

    def _late(self, after_s: float = REQUEST_S) -> None:
        sends = self.scope is not None and self.scope["path"] == PHOTO and after_s < PHOTO_S
        if self.waits and not sends and not self.is_line and not self.transport.is_closing():
            self.let_go("no whole request within %g s", after_s)

    def _too_long(self) -> None:
        streams = self.scope is not None and self.scope["path"] == EVENTS
        if not streams and not self.is_line and not self.transport.is_closing():
            self.let_go("no page taken within %g s", PAGE_S)


class _OfficeGate(_Gate):
    """The same for an office."""

    most = most_of_address = MOST_OF_OFFICE
