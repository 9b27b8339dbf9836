"""Handshakes of TLS: whoever connects and says nothing holds a place for seconds, and keeps nobody away."""

from __future__ import annotations

import asyncio
import contextlib
import socket
import ssl
from collections import Counter
from collections.abc import Callable

from assistant.display.board import LOG

MOST_HANDSHAKES = 32
"""More at once are not held: each is an open file, and the job needs those."""
MOST_HANDSHAKES_OF_ADDRESS = 16
"""Nor are more of one address; the browser of a phone has six at once."""
HANDSHAKE_S = 5.0
"""A handshake that is not done in this time [s] is given up."""
_WAITING = 100
"""So many who connect wait in the system until they are taken."""
_AGAIN_S = 1.0
"""So long nobody is taken when there is no file left for him [s]."""


class Handshakes:
    """Takes whoever connects to a socket, and hands him on when his handshake is done.

    Where there are too many, the newest is let in, and the oldest of the address that holds most goes: a handshake
    takes milliseconds, so that is one who does not mean it.
    """

    def __init__(self, heard: socket.socket, context: ssl.SSLContext, protocol: Callable[[], asyncio.Protocol]) -> None:
        """Take those who connect to ``heard``; each of them gets a ``protocol`` of his own behind the handshake."""
        self._heard, self._context, self._protocol = heard, context, protocol
        self._open: dict[asyncio.Task[None], str] = {}
        heard.listen(_WAITING)

    async def serve(self) -> None:
        """Take them until this is cancelled."""
        loop = asyncio.get_running_loop()
        heard = self._heard.dup()  # closing it leaves the socket as it was, for a server that is built again
        try:
            heard.setblocking(False)
            while True:
                try:
                    sock, address = await loop.sock_accept(heard)
                except OSError as fault:  # no file is left, or whoever it was is gone already
                    LOG.error("nobody can be taken over TLS: %s", fault.strerror)
                    await asyncio.sleep(_AGAIN_S)
                    continue
                self._begin(sock, address[0])
                await asyncio.sleep(0)  # so that each has begun before another one is taken
        finally:
            for one in list(self._open):
                one.cancel()
            heard.close()

    def _begin(self, sock: socket.socket, address: str) -> None:
        task = asyncio.ensure_future(self._shake(sock, address))
        self._open[task] = address
        task.add_done_callback(lambda done: self._open.pop(done, None))
        counts = Counter(self._open.values())
        if counts[address] > MOST_HANDSHAKES_OF_ADDRESS:
            most = MOST_HANDSHAKES_OF_ADDRESS
        elif len(self._open) > MOST_HANDSHAKES:
            (address, _), most = counts.most_common(1)[0], MOST_HANDSHAKES
        else:
            return
        LOG.warning("refused: more than %d handshakes", most)
        oldest = next(one for one, whose in self._open.items() if whose == address and one is not task)
        del self._open[oldest]
        oldest.cancel()

    async def _shake(self, sock: socket.socket, address: str) -> None:
        loop = asyncio.get_running_loop()
        with contextlib.suppress(asyncio.CancelledError):
            try:
                await loop.connect_accepted_socket(
                    self._protocol, sock, ssl=self._context, ssl_handshake_timeout=HANDSHAKE_S
                )
            except OSError as fault:
                LOG.warning("refused: a handshake from %s: %.80s", address, str(fault) or type(fault).__name__)
