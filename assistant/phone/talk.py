"""The line to a phone: one WebSocket (RFC 6455), as an ASGI application. Who may call was looked at before."""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import Awaitable, Callable, MutableMapping
from typing import Any

from assistant.display.board import LOG
from assistant.phone.framing import Garbage, read_hello, read_status
from assistant.phone.headset import Call, Headset, NotTaken

GREETING_S = 5.0
"""A phone that says nothing for so long [s] is let go."""
A_SECOND = 70.0
"""At most so many messages come in a second, on the mean: fifty pieces of sound, and what a page says of itself."""
BURST = 150.0
"""So many may come at once, after the network stood still."""
PARTING_S = 0.5
"""How long a phone has to take the last message [s]."""
WAITING_MOST = 100
"""A phone that takes nothing of so many messages (2 s of sound) is let go."""
LET_GO, BAD = 4001, 4000
"""Codes of the end (4000 to 4999 are an application's own, RFC 6455, 7.4.2)."""

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]


class PhoneLine:
    """Answers every phone that calls."""

    def __init__(self, headset: Headset) -> None:
        self._headset = headset

    async def __call__(self, scope: MutableMapping[str, Any], receive: Receive, send: Send) -> None:
        """Talk with one phone until one of both ends it."""
        await receive()  # websocket.connect
        await send({"type": "websocket.accept"})
        line = _Line(self._headset, receive, send)
        code, why = await line.talk()
        if why:
            client = (scope.get("client") or ("?",))[0]
            LOG.warning("%s", f"phone {client} let go: {why!r:.80}".encode("ascii", "backslashreplace").decode())
        if code:
            closing = send({"type": "websocket.close", "code": code, "reason": why[:100]})
            with contextlib.suppress(Exception):  # it may be gone, or take nothing; there is nobody left to tell
                await asyncio.wait_for(closing, PARTING_S)


_HERE = json.dumps({"state": "here"})
"""The sign of life that answers each status of the phone, twice a second."""


class _Gone(Exception):
    """The phone is not there any more."""


class _Line:
    """One connection."""

    def __init__(self, headset: Headset, receive: Receive, send: Send) -> None:
        self._headset, self._receive, self._send = headset, receive, send
        self._loop = asyncio.get_running_loop()
        self._out: asyncio.Queue[bytes | str | None] = asyncio.Queue()
        self._ended = ""
        self._over = asyncio.Event()
        """Set a moment after it was ended: a phone that takes nothing is not waited for."""
        self._budget, self._budget_at = BURST, self._loop.time()

    async def talk(self) -> tuple[int, str]:
        """Talk; return the code to close with (0: it is closed), and what was wrong with the phone ("": nothing)."""
        try:
            hello = read_hello(await asyncio.wait_for(self._text(), GREETING_S))
            call = self._headset.join(hello, self._put, self._end)
        except TimeoutError:
            return BAD, "no greeting"
        except Garbage as fault:
            return BAD, str(fault)
        except NotTaken:
            await self._send({"type": "websocket.send", "text": json.dumps({"state": "moved"})})
            return LET_GO, ""
        except _Gone:
            return 0, ""
        self._out.put_nowait(json.dumps({"state": "on", "moved": call.took_over}))
        writing = asyncio.ensure_future(self._write())
        reading = asyncio.ensure_future(self._read(call))
        over = asyncio.ensure_future(self._over.wait())
        try:
            await asyncio.wait({writing, reading, over}, return_when=asyncio.FIRST_COMPLETED)
            return await self._finish(call, reading)
        finally:
            for task in (writing, reading, over):
                task.cancel()

    async def _finish(self, call: Call, reading: asyncio.Future[bool]) -> tuple[int, str]:
        if not reading.done():  # the bay ended it, or the phone takes nothing
            self._headset.leave(call, wanted=False)
            return LET_GO, ""
        try:
            self._headset.leave(call, wanted=await reading)
        except _Gone:
            self._headset.leave(call, wanted=False)
            return 0, ""
        except Garbage as fault:
            self._headset.leave(call, wanted=False)
            return BAD, str(fault)
        return 1000, ""

    async def _read(self, call: Call) -> bool:
        """Take what the phone sends; return True once somebody ended it there."""
        while True:
            message = await self._message()
            if (data := message.get("bytes")) is not None:
                self._headset.sound(call, data)
                continue
            status = read_status(message.get("text") or "")
            self._headset.status(call, status)
            if status.ends:
                return True
            self._out.put_nowait(_HERE)  # a phone that is out of reach is told so by nobody else

    async def _text(self) -> str:
        return (await self._message()).get("text") or ""

    async def _message(self) -> Message:
        message = await self._receive()
        if message["type"] != "websocket.receive":
            raise _Gone
        now = self._loop.time()
        self._budget = min(BURST, self._budget + A_SECOND * (now - self._budget_at)) - 1
        self._budget_at = now
        if self._budget < 0:
            raise Garbage("too many messages")
        return message

    async def _write(self) -> None:
        while (message := await self._out.get()) is not None:
            kind = "bytes" if isinstance(message, bytes) else "text"
            await self._send({"type": "websocket.send", kind: message})

    def _put(self, data: bytes) -> None:
        self._soon(self._queue, data)

    def _queue(self, data: bytes) -> None:
        if self._out.qsize() < WAITING_MOST:
            self._out.put_nowait(data)
        else:
            self._hang_up("slow")

    def _end(self, why: str) -> None:
        self._soon(self._hang_up, why)

    def _hang_up(self, why: str) -> None:
        if not self._ended:
            self._ended = why
            self._out.put_nowait(json.dumps({"state": why}))
            self._out.put_nowait(None)
            self._loop.call_later(PARTING_S, self._over.set)

    def _soon(self, call: Callable[..., None], *values: object) -> None:
        with contextlib.suppress(RuntimeError):  # the server is closed
            self._loop.call_soon_threadsafe(call, *values)
