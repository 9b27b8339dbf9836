"""The headset of a bay: which phone is it, the sound that comes from it, and the voice that goes to it.

The web server's thread brings what a phone sends (:mod:`assistant.phone.talk`), a thread of its own asks for the voice
every 20 ms and looks whether the phone is still there, and the bay reads blocks as from a sound card
(:mod:`assistant.phone.ends`).
"""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from assistant.events import End
from assistant.facts.bay import HeadsetIs
from assistant.phone.arrivals import Arrivals
from assistant.phone.codec import SoundReader, VoiceWriter, reader, writer
from assistant.phone.framing import OPUS_HZ, PIECE_S, Hello, Status, read_sound, write_sound
from assistant.voice.ports import BLOCK, Block, Samples
from assistant.worker import OnFailure, Worker

LOST_S = 1.5
"""A phone that sends no sound for so long is lost [s]: twice as long as its page waits before it calls again."""
UNHEARD_MOST = 50
"""At most so many pieces of the voice are on their way (1 s); what is more is left out, for it would come too late."""
BUFFER_S = 0.06
"""What the page holds back so that the voice does not stutter [s] (display/static/headset-worklet.js)."""
_QUEUED_MOST = 250
"""How many blocks wait for a slow listener (5 s) before new ones are left out, as for a sound card."""
_AFTER = 10
"""So many silent pieces are sent after the voice, so that the codec gives its last sounds; then none, to save power."""
_BEHIND_S = 0.1
_QUIET_S = 10.0
"""Lost sound is reported at once, and then not again for this long [s]."""
_IDLE_S = 1.0
_CLOSE_S = 2.0


class NotTaken(Exception):
    """A page comes back by itself, but another phone is the headset by now."""


@dataclass(slots=True)
class Call:
    """One connection of a phone. ``send`` and ``end`` may be called on any thread, and return at once."""

    hello: Hello
    send: Callable[[bytes], None]
    end: Callable[[str], None]
    """Ends it, and tells the page why (a code)."""
    reader: SoundReader
    writer: VoiceWriter
    arrivals: Arrivals = field(default_factory=Arrivals)
    sent: int = 0
    got: int = 0
    silent: int = _AFTER
    delay_s: float = 0.0
    took_over: bool = False
    """Whether another phone was the headset before."""


class Headset:
    """Holds the phone that is the headset, if there is one. Its methods are for any thread."""

    def __init__(
        self,
        clock: Callable[[], float],
        *,
        on_lost: Callable[[End], None] = lambda _end: None,
        on_back: Callable[[End], None] = lambda _end: None,
        on_set: Callable[[HeadsetIs], None] = lambda _what: None,
        on_lost_sound: Callable[[int], None] = lambda _pieces: None,
        on_failure: OnFailure = lambda _failure: None,
    ) -> None:
        """Wait for a phone. ``clock`` tells the times of blocks [s since the epoch].

        The others take a note and return: ``on_lost`` and ``on_back`` when the phone's line is lost and there again,
        ``on_set`` when somebody chose another headset, ``on_lost_sound`` (pieces of 20 ms so far) when sound did not
        come, ``on_failure`` when the thread that asks for the voice breaks.
        """
        self._clock = clock
        self._on_lost, self._on_back, self._on_set, self._on_lost_sound = on_lost, on_back, on_set, on_lost_sound
        self.rate_hz = OPUS_HZ
        """Samples per second that are asked for; set before a phone comes."""
        self.is_on = False
        """Whether a phone is the headset, and is there."""
        self._wanted = False
        """Whether a phone is the headset, be it there or lost."""
        self._client = ""
        self._call: Call | None = None
        self._heard_at = 0.0
        self._lock = threading.Lock()
        self._blocks: queue.SimpleQueue[Block] = queue.SimpleQueue()
        self._rest: Samples = np.zeros(0, dtype=np.int16)
        self.lost_pieces = 0
        """Pieces of 20 ms that did not reach the bay, or came too late."""
        self.unheard_pieces = 0
        """Pieces of the voice that were not sent, because the phone did not take those before."""
        self._told_lost, self._quiet_until = 0, 0.0
        self._pull: Callable[[int], Samples] | None = None
        self._closing, self._awake = threading.Event(), threading.Event()
        self._worker = Worker("phone", self._work, on_failure=on_failure, on_end=self._give_up)
        self._worker.start()

    def join(self, hello: Hello, send: Callable[[bytes], None], end: Callable[[str], None]) -> Call:
        """Take the phone that greeted so as headset; another one that was it is told, and let go.

        Raises:
            NotTaken: nobody asked for it at this phone, and another one is the headset.
        """
        call = Call(hello, send, end, reader(hello), writer(hello, self.rate_hz))
        with self._lock:
            if hello.again and self._wanted and hello.client != self._client:
                raise NotTaken
            before, same, was_lost = self._call, hello.client == self._client, self._wanted and not self.is_on
            new = HeadsetIs.OTHER_PHONE if self._wanted else HeadsetIs.PHONE
            is_new = not (self._wanted and same)
            call.took_over = is_new and self._wanted
            self._call, self._client, self._heard_at = call, hello.client, time.monotonic()
            self._rest = self._rest[:0]
            self.is_on = self._wanted = True
        self._awake.set()
        if before is not None:
            before.end("replaced" if same else "moved")
        if was_lost:
            self._on_back(End.PHONE)
        if is_new:
            self._on_set(new)
        return call

    def leave(self, call: Call, *, wanted: bool) -> None:
        """Take note that ``call`` ended; ``wanted``: by the button. Else it may come back."""
        with self._lock:
            if call is not self._call:
                return
            self._call = None
            if wanted:
                self.is_on = self._wanted = False
        if wanted:
            self._on_set(HeadsetIs.BAY)

    def sound(self, call: Call, data: bytes) -> None:
        """Take a piece of sound.

        Raises:
            Garbage: it is none.
        """
        number, sound = read_sound(data, call.hello)
        arrival = call.arrivals.take(number, self._clock())
        self.lost_pieces += arrival.lost
        samples = call.reader.read(sound)  # also one that is late: a codec goes on from what it had
        if call is not self._call:
            return
        self._heard_at = time.monotonic()
        if arrival.heard_at is None:
            return
        holes = np.zeros(arrival.holes * BLOCK, dtype=np.int16)
        self._rest = np.concatenate([self._rest, holes, samples])
        while self._rest.size >= BLOCK:
            block, self._rest = self._rest[:BLOCK], self._rest[BLOCK:]
            if self._blocks.qsize() < _QUEUED_MOST:
                self._blocks.put(Block(block, arrival.heard_at - self._rest.size / BLOCK * PIECE_S))
            else:
                self.lost_pieces += 1

    def status(self, call: Call, status: Status) -> None:
        """Take note of what a phone says about itself."""
        call.got, call.delay_s = min(status.got, call.sent), status.delay_s

    @property
    def latency_s(self) -> float:
        """Seconds from a sample's being asked for to its being heard."""
        call = self._call
        return PIECE_S + BUFFER_S + (call.delay_s if call is not None else 0.0)

    def read(self, timeout: float) -> Block | None:
        """Return the next block, or None when none came within ``timeout`` seconds."""
        try:
            return self._blocks.get(timeout=timeout) if timeout else self._blocks.get_nowait()
        except queue.Empty:
            return None

    def play(self, pull: Callable[[int], Samples] | None) -> None:
        """Ask ``pull`` for the voice from now on; None: ask nobody."""
        self._pull = pull

    def close(self) -> None:
        """Let the phone go."""
        self._closing.set()
        self._awake.set()
        self._worker.close(_CLOSE_S)
        with self._lock:
            call, self._call, self.is_on = self._call, None, False
        if call is not None:
            call.end("closed")

    def _work(self, go_on: Callable[[], bool]) -> None:
        due = time.monotonic()
        while not self._closing.wait(max(0.0, due - time.monotonic())) and go_on():
            if not self.is_on:  # nothing is due before a phone comes
                self._awake.clear()
                self._awake.wait(0.0 if self.is_on else _IDLE_S)
                due = time.monotonic()
            now = time.monotonic()
            due = due + PIECE_S if now - due < _BEHIND_S else now + PIECE_S
            self._look(now)
            if self.is_on:
                self._speak()

    def _look(self, now: float) -> None:
        """Tell what is lost: the phone, or some of its sound."""
        gone: Call | None = None
        with self._lock:
            lost = self.is_on and now - self._heard_at > LOST_S
            if lost:
                self.is_on = False
                gone, self._call = self._call, None
        if gone is not None:
            gone.end("silent")
        if lost:
            self._on_lost(End.PHONE)
        if self.lost_pieces > self._told_lost and now >= self._quiet_until:
            self._told_lost, self._quiet_until = self.lost_pieces, now + _QUIET_S
            self._on_lost_sound(self.lost_pieces)

    def _speak(self) -> None:
        """Send the phone its next 20 ms, when there is something to hear."""
        call, pull = self._call, self._pull
        if pull is None or call is None:  # for the second that the phone may be away, the voice waits
            return
        samples = pull(round(PIECE_S * self.rate_hz))
        call.silent = 0 if samples.any() else call.silent + 1
        if call.silent > _AFTER:
            return
        for sound in call.writer.write(samples):
            if call.sent - call.got >= UNHEARD_MOST:
                self.unheard_pieces += 1
            else:
                call.sent += 1
                call.send(write_sound(call.sent, sound))

    def _give_up(self) -> None:
        """Go on without a phone: nobody looks after it."""
        with self._lock:
            call, self._call = self._call, None
            was_on, self.is_on = self.is_on, False
        if call is not None:
            call.end("closed")
        if was_on:
            self._on_lost(End.PHONE)
