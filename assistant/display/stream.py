"""Server-sent events: every browser gets the newest picture as fast as it takes them, and nobody waits for it."""

from __future__ import annotations

import asyncio
from typing import Protocol

from starlette.types import Receive, Scope, Send

EVENTS = "/events"
"""Where a browser asks for them."""
BEAT_S = 2.0
"""A sign of life at least this often [s]; without it the page says that it is not updating (static/display.js)."""


class Streamed(Protocol):
    """What a stream tells: a board, or that there is something newer."""

    @property
    def seq(self) -> int:
        """The number of the newest."""

    @property
    def closed(self) -> bool:
        """Whether nothing more comes."""

    async def change(self, timeout_s: float) -> None:
        """Wait until something changed, at most ``timeout_s`` [s]."""

    def ear(self) -> str:
        """Return the sign of life, as JSON."""

    def newest(self) -> tuple[int, str]:
        """Return the number of the newest, and it as JSON."""


class Stream:
    """Answers one GET with events until the browser goes or the board closes.

    A browser that does not take what it is sent keeps only its own stream waiting; when it takes again, it gets what is
    newest then, and nothing of what came between.
    """

    def __init__(self, board: Streamed) -> None:
        self._board = board

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one browser."""
        headers = [(b"content-type", b"text/event-stream; charset=utf-8")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        if scope["method"] == "HEAD":
            await send({"type": "http.response.body", "body": b""})
            return
        gone = asyncio.ensure_future(_until_gone(receive))
        try:
            await self._send_all(send, gone)
        finally:
            gone.cancel()

    async def _send_all(self, send: Send, gone: asyncio.Future[None]) -> None:
        board, seq = self._board, 0
        await _send(send, "retry: 1000\n\n")
        while not gone.done():
            newest, shown = board.newest()
            events = f"event: ear\ndata: {board.ear()}\n\n"
            if newest != seq:
                events += f"event: picture\ndata: {shown}\n\n"
                seq = newest
            await _send(send, events)
            if board.seq == seq:
                if board.closed:  # only now, so that the last picture is not lost
                    break
                await board.change(BEAT_S)
        if not gone.done():
            await send({"type": "http.response.body", "body": b""})


async def _send(send: Send, text: str) -> None:
    await send({"type": "http.response.body", "body": text.encode(), "more_body": True})


async def _until_gone(receive: Receive) -> None:
    while (await receive())["type"] != "http.disconnect":
        pass
