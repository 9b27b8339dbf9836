"""Where the session leaves what is to be seen, and the streams find it. Only the newest is kept."""

from __future__ import annotations

import asyncio
import json
import logging
import secrets
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from assistant.display.bolts import spots
from assistant.display.handing import Hand, hands
from assistant.display.hung import Hung
from assistant.display.idle import IDLE, idle_picture
from assistant.display.picture import Notice, picture
from assistant.procedure.model import Procedure

LOG = logging.getLogger("assistant.display")
EAR_S = 0.25
"""How often the microphone is looked at [s]."""
REPLY_FIRST_S = 0.03
"""How long a picture lets the reply go first [s]: the page has 200 ms, and the first sound must not wait for it."""
_BARS_DB = (-55.0, -45.0, -36.0, -28.0, -20.0)
"""Levels [dBFS] from which the meter shows one bar more."""


@dataclass(frozen=True, slots=True)
class Ear:
    """What the microphone does: ``state`` in a word ("listening", "hearing", "closed"), ``level`` in dBFS."""

    state: str
    level: float

    @property
    def bars(self) -> int:
        """Return the level in six coarse steps, 0 to 5, so that the meter stands still in a still room."""
        return sum(self.level >= limit for limit in _BARS_DB)


class Board:
    """One job's newest picture. Any thread may put; the streams of one event loop wait for what is newer."""

    def __init__(self) -> None:
        """Show nothing yet."""
        self.boot = secrets.token_hex(4)
        """Tells this run of the server from another one."""
        self._procedure: Procedure | None = None
        self._pictures: Mapping[str, Hung] = {}
        self._ear: Callable[[], Ear] | None = None
        self._lock = threading.Lock()
        self._seq = 0
        self._view: Mapping[str, Any] | None = None
        self._notice: Notice | None = None
        self._at = time.monotonic()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._wake_is_due = False
        self._changed = asyncio.Event()
        self._made: tuple[int, str] = (0, "")
        self._heard_now: dict[str, Any] | None = None
        self._snaps = 0
        """How often the pages were asked for a photo."""
        self.closed = False

    # For any thread

    def begin(self, procedure: Procedure, pictures: Mapping[str, Hung] = MappingProxyType({})) -> None:
        """Know the procedure, for the places of its bolts, and its ``pictures`` by the names of their files."""
        self._procedure, self._pictures = procedure, pictures

    def hung(self, sha256: str) -> Hung | None:
        """Return the picture with this hash; None when the job has none."""
        return next((one for one in self._pictures.values() if one.sha256 and one.sha256 == sha256), None)

    def show(self, view: Mapping[str, Any]) -> None:
        """Put the view of the session in the place of the last one; never waits for anybody."""
        with self._lock:
            self._view, self._notice, self._at = view, None, time.monotonic()
            self._seq += 1
        self._wake_soon()

    def listen_to(self, ear: Callable[[], Ear]) -> None:
        """Show what the microphone does, as ``ear`` tells; it must not block."""
        self._ear = ear

    def notice(self, text: str, *, trouble: bool = True) -> None:
        """Show a sentence about the equipment until the next view; ``trouble``: something is wrong with it."""
        with self._lock:
            self._notice = Notice(text, trouble)
            self._seq += 1
        self._wake_soon()

    def ask_photo(self) -> None:
        """Let a page with a camera of its own take a photo."""
        with self._lock:
            self._snaps += 1
            self._seq += 1
        self._wake_soon()

    def hand(self, name: str) -> Hand | None:
        """Return the button of a hand-over with this name, as far as the newest view has one."""
        with self._lock:
            view = self._view
        return next((one for one in hands(view or {}) if one.name == name), None)

    @property
    def seq(self) -> int:
        """The number of the newest picture; zero before the first view."""
        return self._seq if self._view is not None else 0

    def close(self) -> None:
        """Let all streams end."""
        self.closed = True
        self._wake_soon()

    def _wake_soon(self) -> None:
        with self._lock:
            loop = self._loop
            if loop is None or self._wake_is_due:
                return
            self._wake_is_due = True
        try:
            loop.call_soon_threadsafe(loop.call_later, REPLY_FIRST_S, self._wake)
        except RuntimeError:  # the server has ended
            self._loop = None

    # For the event loop

    async def watch(self) -> None:
        """Serve the streams of this loop, and look at the microphone, until the board is closed."""
        self._loop = asyncio.get_running_loop()
        while not self.closed:
            await asyncio.sleep(EAR_S)
            if self._look():
                self._wake()

    def _look(self) -> bool:
        if self._ear is None:
            return False
        ear = self._ear()
        now = {"state": ear.state, "bars": ear.bars if ear.state != "closed" else 0}
        changed, self._heard_now = now != self._heard_now, now
        return changed

    def _wake(self) -> None:
        with self._lock:
            self._wake_is_due = False
        before, self._changed = self._changed, asyncio.Event()
        before.set()

    async def change(self, timeout_s: float) -> None:
        """Wait until something changed, at most ``timeout_s`` [s]."""
        try:
            await asyncio.wait_for(self._changed.wait(), timeout_s)
        except TimeoutError:
            return

    def ear(self) -> str:
        """Return what the microphone does, as JSON."""
        return json.dumps(self._heard_now)

    def newest(self) -> tuple[int, str]:
        """Return the number of the newest picture and the picture as JSON, with its age [ms]; 0 and "" before it."""
        with self._lock:
            seq, view, notice, at = self._seq, self._view, self._notice, self._at
        if view is None:
            return 0, ""
        if self._made[0] != seq:
            if view["page"] == IDLE:
                shown = idle_picture(view, notice)
            else:
                places = spots(self._procedure, view) if self._procedure else {}
                shown = picture(view, notice, places, self._pictures)
            text = json.dumps({**shown, "boot": self.boot, "seq": seq, "snaps": self._snaps}, ensure_ascii=False)
            self._made = seq, text.removesuffix("}")
        return seq, f'{self._made[1]}, "age_ms": {round((time.monotonic() - at) * 1000)}}}'
