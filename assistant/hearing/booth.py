"""A bay with nobody's job in it: the assistant asks for something by voice and keeps what the microphone then gives."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from functools import partial
from types import TracebackType

import numpy as np

from assistant.bay.inbox import Inbox
from assistant.bay.room import bay_in_a_room
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.events import Clarity, Grammar, Heard, Thresholds
from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings
from assistant.voice.listening.listener import Listener
from assistant.voice.ports import Block, Samples, VoiceFault
from assistant.voice.sound.played import TappedLoudspeaker
from assistant.voice.speaking.speaker import Sink

_READ_S = 0.1
_AROUND_S = 0.1
"""Sound that is kept before and after an utterance [s]."""
_SPOKEN_MOST_S = 30.0
_LATE_S = 0.25
"""A wait that ends so much later than asked for did not wait for its turn: the computer stood still [s]."""


@dataclass(frozen=True, slots=True)
class Played:
    """Samples, shape (n,), that were given to the loudspeaker, ``rate_hz`` a second, to be heard from ``at`` on [s]."""

    samples: Samples
    rate_hz: int
    at: float


@dataclass(frozen=True, slots=True)
class Answer:
    """What was said after a prompt: the utterance, or None when nothing came, and its sound, shape (n,)."""

    heard: Heard | None
    samples: Samples


class Booth:
    """A bay in a room whose microphone, loudspeaker and recogniser are measured; a context manager."""

    def __init__(self, settings: Settings, *, tell: Callable[[str], None] | None = None) -> None:
        """Open the bay that ``settings`` describe; each prompt is also printed, or goes to ``tell``.

        Raises:
            VoiceFault: a device or an engine is missing or busy.
        """
        self._tell = tell or partial(print, flush=True)  # who follows on a pipe reads it before it is spoken
        self._clock = SteadyClock()
        self._kept: list[Played] | None = None
        self.latency_s = 0.0
        """Seconds that a sample spends between the program and the loudspeaker, by what the device tells."""
        self.stood_still_s = 0.0
        """Seconds by which waits for the microphone took longer than asked for, where by much: sound was lost then."""

        def given(samples: Samples, rate_hz: int, at: float) -> None:
            if self._kept is not None:
                self._kept.append(Played(samples, rate_hz, at + self.latency_s))

        def tap(loudspeaker: Sink) -> Sink:
            self.latency_s = loudspeaker.latency_s
            return TappedLoudspeaker(loudspeaker, self._clock.now, given)

        with ExitStack() as stack:
            bay = stack.enter_context(bay_in_a_room(settings, Inbox(), self._clock, Screen, tap=tap))
            self._speaker, self._ears = bay.speaker, bay.ears
            if bay.ears.second is not None:
                bay.ears.second.prepare()
            self.devices = bay.ears.devices
            self.microphone = self.devices.partition(" > ")[0]
            self._tail_s = settings.tail_ms / 1000
            self._stack = stack.pop_all()

    def __enter__(self) -> Booth:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._stack.close()

    @property
    def limits(self) -> Thresholds:
        """The least confidences of the recogniser, per weight."""
        return self._ears.limits

    def say(self, text: str) -> float:
        """Print and speak ``text``, and wait for its end; return when that was [s since the epoch].

        Raises:
            VoiceFault: the loudspeaker does not play.
        """
        self._tell(text)
        self._speaker.say(LANGUAGE.talk.breaths(text))
        until = time.monotonic() + _SPOKEN_MOST_S
        while self._speaker.is_sounding():
            if time.monotonic() > until:
                raise VoiceFault("The loudspeaker does not play: check that it is switched on, or name another.")
            time.sleep(0.005)
        return self._clock.now()

    def record(self, seconds: float) -> list[Block]:
        """Return the next ``seconds`` of the microphone's sound; fewer blocks when it gives none.

        What came before is forgotten.
        """
        self._forget()
        return self._take(time.monotonic() + seconds)

    def overhear(self, text: str, after_s: float) -> tuple[list[Block], list[Played], float]:
        """Say ``text`` and return what the microphone gave meanwhile and for ``after_s`` seconds after it.

        Returned as well: what the loudspeaker was given, and when the assistant took itself to be silent again.
        """
        self._forget()
        played: list[Played] = []
        self._kept = played
        ended_at = self.say(text)
        blocks = self._take(time.monotonic() + after_s)
        self._kept = None
        return blocks, played, ended_at

    def ask(self, text: str, grammar: Grammar, patience_s: float) -> Answer:
        """Say ``text``, wait up to ``patience_s`` seconds for an utterance, and return what it was.

        Talk that was not meant for the assistant is passed over.
        """
        self.say(text)
        got: list[Heard] = []
        listener = Listener(self._ears.recogniser, got.append, headset=True, second=self._ears.second)
        listener.set_grammar(grammar)
        kept: list[Block] = []
        until = time.monotonic() + patience_s
        self._take(time.monotonic() + self._tail_s)  # the room's echo of the prompt
        self._forget()
        while not (got and got[-1].clarity is not Clarity.SPEECH):
            block = self._read(_READ_S)
            if block is not None:
                kept.append(block)
                listener.push(block)
            if time.monotonic() > until and not listener.is_hearing:
                return Answer(None, joined_blocks(kept))
        heard = got[-1]
        first, last = heard.started_at - _AROUND_S, heard.ended_at + _AROUND_S
        return Answer(heard, joined_blocks([block for block in kept if first <= block.ended_at <= last]))

    def _take(self, until: float) -> list[Block]:
        blocks = []
        while (left := until - time.monotonic()) > 0:
            block = self._read(min(left, _READ_S))
            if block is not None:
                blocks.append(block)
        return blocks

    def _read(self, wait_s: float) -> Block | None:
        began = time.monotonic()
        block = self._ears.microphone.read(wait_s)
        late = time.monotonic() - began - wait_s
        self.stood_still_s += late if late > _LATE_S else 0.0
        return block

    def _forget(self) -> None:
        while self._ears.microphone.read(0.0) is not None:
            pass


def joined_blocks(blocks: list[Block]) -> Samples:
    """Return the samples of ``blocks`` one after another, shape (n,)."""
    return np.concatenate([block.samples for block in blocks]) if blocks else np.zeros(0, dtype=np.int16)
