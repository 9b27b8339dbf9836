"""Speaks through a sound card: one thread renders, the card pulls, and what sounds can be cut short at any moment.

Whatever breaks, nothing may count as sounding that cannot sound: the microphone is held closed as long as it does.
"""

from __future__ import annotations

import queue
import threading
import time
from collections import deque
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from assistant.events import Adjust, ToneKind, VoiceKnob
from assistant.voice.ports import Samples, Synthesiser, VoiceFault
from assistant.voice.speaking.mixer import Mixer
from assistant.voice.speaking.rendering import Renderer, breath_groups, turned_rate, turned_volume
from assistant.voice.speaking.saying import Saying
from assistant.voice.speaking.tones import tone
from assistant.worker import Failure, Failures, OnFailure, Stalled, Worker

OnSaid = Callable[[str, bool], None]
"""Called with each text and whether it was spoken to its end, on the speaker's own thread: take a note and return."""
_LOOK_S = 0.25
"""How often the speaker looks whether the loudspeaker is still there while something waits to be spoken."""
_IDLE_S = 1.0
_CLOSE_S = 5.0
_SOON_S = 0.05


class Sink(Protocol):
    """A loudspeaker that asks for its samples."""

    @property
    def rate_hz(self) -> int:
        """Samples per second."""

    @property
    def latency_s(self) -> float:
        """Seconds from a sample's being asked for to its being heard."""

    @property
    def alive(self) -> bool:
        """Whether the device is there and plays."""

    def start(self, pull: Callable[[int], Samples]) -> None:
        """Begin to play what ``pull`` gives: it is called with a count n and returns samples, shape (n,)."""

    def close(self) -> None:
        """Stop and free the device."""


@dataclass(frozen=True, slots=True)
class _Say:
    utterance: int
    text: str
    rate: int


@dataclass(frozen=True, slots=True)
class _Expect:
    texts: tuple[str, ...]
    rate: int


@dataclass(frozen=True, slots=True)
class _GiveUp:
    """Nothing that was asked for will be heard."""


@dataclass(frozen=True, slots=True)
class _Done:
    utterance: int
    completed: bool


class CardSpeaker:
    """Speaks sentences and sounds tones through a loudspeaker; its methods are for any thread and never wait."""

    def __init__(
        self,
        synthesiser: Synthesiser,
        sink: Sink,
        *,
        rate: int = 165,
        volume: float = -3.0,
        on_said: OnSaid | None = None,
        on_fault: Callable[[str], None] | None = None,
        on_failure: OnFailure | None = None,
    ) -> None:
        """Speak with ``synthesiser`` through ``sink`` at ``rate`` words per minute and ``volume`` decibels (0 or less).

        The synthesiser belongs to the speaker from now on. ``on_fault`` gets a sentence when it
        cannot speak what was asked for; ``on_failure`` is told what broke inside the speaker, on the thread it broke.
        """
        self._sink = sink
        self._renderer = Renderer(synthesiser, sink.rate_hz)
        self._inbox: queue.SimpleQueue[_Say | _Expect | _Done | _GiveUp | None] = queue.SimpleQueue()
        self._saying = Saying()
        self._mixer = Mixer(
            sink.rate_hz, lambda utterance, completed: self._inbox.put(_Done(utterance, completed)), self._part_ended
        )
        self._tones = {kind: tone(kind, sink.rate_hz) for kind in ToneKind}
        self._rate, self._volume = rate, volume
        self._mixer.set_volume(volume)
        self._on_said = on_said or (lambda _text, _completed: None)
        self._on_fault = on_fault or (lambda _sentence: None)
        self._order = threading.Lock()  # numbers utterances in the order in which they were asked for
        self._newest = 0
        self._open: dict[int, str] = {}
        self._expected: tuple[str, ...] = ()
        self._heard_until = self._spoken_until = time.monotonic()
        self.played = 0
        """How many samples the card took while there was something to sound, for whoever watches from outside."""
        self._ahead: deque[tuple[str, int]] = deque()
        tell = on_failure or (lambda failure: self._on_fault(_sentence_of(failure)))
        self._pulls = Failures("loudspeaker", tell)
        self._stalls = Failures("speaker", tell)
        self._worker = Worker("speaker", self._work, on_failure=tell, mend=self._give_up, on_end=self._give_up)
        self._worker.start()
        sink.start(self._pull)

    @property
    def rate(self) -> int:
        """Words per minute."""
        return self._rate

    @property
    def volume(self) -> float:
        """Decibels relative to what was rendered; 0 or less."""
        return self._volume

    def say(self, text: str, *, cut: bool = True) -> None:
        """Speak ``text``; with ``cut`` stop what is being said and forget what is queued."""
        with self._order:
            if cut:
                self._mixer.cut(self._newest)
            self._newest += 1
            self._saying.asked(self._newest, breath_groups(text), cut=cut)
            if self._worker.gave_up:
                self.tone(ToneKind.TROUBLE)
                return
            self._open[self._newest] = text
            self._inbox.put(_Say(self._newest, text, self._rate))

    def tone(self, kind: ToneKind) -> None:
        """Sound a tone at once, over anything that is being said."""
        if self._sink.alive:
            self._mixer.tone(self._tones[kind])

    def hush(self) -> None:
        """Stop speaking at once and forget what is queued."""
        with self._order:
            self._mixer.cut(self._newest)

    def adjust(self, change: Adjust) -> bool:
        """Turn a knob, the volume at once, the rate for all that is said from now on; False where it is at its end."""
        before = self._volume, self._rate
        if change.knob is VoiceKnob.VOLUME:
            self._volume = turned_volume(self._volume, change.steps)
            self._mixer.set_volume(self._volume)
        else:
            self._rate = turned_rate(self._rate, change.steps)
            self._inbox.put(_Expect(self._expected, self._rate))
        return (self._volume, self._rate) != before

    def expect(self, texts: Iterable[str]) -> None:
        """Render these sentences ahead when there is nothing better to do; they take the place of earlier ones."""
        self._expected = tuple(texts)
        self._inbox.put(_Expect(self._expected, self._rate))

    def is_sounding(self) -> bool:
        """Return whether anything can be heard from the loudspeaker now, or is about to be."""
        return self._waits() or self._mixer.busy or time.monotonic() < self._heard_until

    def _waits(self) -> bool:
        return any(not self._mixer.is_cut(one) for one in list(self._open))

    def quiet_s(self) -> float:
        """Return for how long nothing has been said [s]; 0 while something is or will be. Tones are no words."""
        said = self._spoken_until
        return 0.0 if self._waits() or self._mixer.speaks else max(0.0, time.monotonic() - said)

    def seconds_left(self) -> float:
        """Return for how long it sounds still, at least [s]; 0 when nothing does."""
        return _SOON_S if self.is_sounding() else 0.0

    def unsaid(self, ago_s: float) -> str:
        """Return the sentences that had not been spoken to their end ``ago_s`` seconds ago, hushed ones too."""
        return self._saying.unsaid(time.monotonic() - ago_s)

    def _part_ended(self, utterance: int, part: int, at: int) -> None:
        self._saying.ended(utterance, part, time.monotonic() + self._sink.latency_s + at / self._sink.rate_hz)

    def close(self) -> None:
        """Stop and free the device and the synthesiser."""
        self.hush()
        self._inbox.put(None)
        self._worker.close(timeout_s=_CLOSE_S)
        self._sink.close()
        self._renderer.close()

    def rescue(self) -> None:
        """Take nothing for sounding any more that was asked for until now: nothing of it comes out of the loudspeaker.

        It is for whoever watches from outside; what was asked for is reported as not said.
        """
        with self._order:
            self._mixer.cut(self._newest)
        self._give_up()
        self._stalls.note(Stalled("nothing comes out of the loudspeaker"))

    def _pull(self, count: int) -> Samples:
        """Give the sound card its samples; on its thread an exception would end the stream, again and again."""
        try:
            if self._mixer.busy:  # noted before the mixer can tell the render thread that it was the last of it
                self.played += count
                self._heard_until = time.monotonic() + self._sink.latency_s + count / self._sink.rate_hz
                if self._mixer.speaks:
                    self._spoken_until = self._heard_until
            return self._mixer.pull(count)
        except Exception as fault:  # noqa: BLE001 - whatever it is, the card must get silence
            self._mixer.clear()
            self._inbox.put(_GiveUp())
            self._pulls.note(fault)
            return np.zeros(count, dtype=np.int16)

    def _work(self, go_on: Callable[[], bool]) -> None:
        """Run the render thread: what is to be said comes before what may be said."""
        while go_on():
            try:
                note = self._inbox.get(block=not self._ahead, timeout=_LOOK_S if self._open else _IDLE_S)
            except queue.Empty:
                if self._open and not self._sink.alive:
                    self._give_up()
                elif self._ahead:
                    self._render_ahead(*self._ahead.popleft())
                continue
            match note:
                case None:
                    return
                case _Say():
                    self._speak(note)
                case _Done(utterance, completed):
                    self._report(utterance, completed)
                case _GiveUp():
                    self._give_up()
                case _Expect(texts, rate):
                    self._ahead = deque((part, rate) for text in texts for part in breath_groups(text))

    def _speak(self, order: _Say) -> None:
        parts = breath_groups(order.text)
        for index, part in enumerate(parts):
            if self._mixer.is_cut(order.utterance) or not self._sink.alive:
                break
            try:
                clip = self._renderer.clip(part, order.rate, order.utterance, last=index == len(parts) - 1, part=index)
            except VoiceFault as fault:
                self.tone(ToneKind.TROUBLE)
                self._on_fault(fault.sentence)
                break
            self._mixer.play(clip)
        else:
            if parts:
                return  # the mixer tells when its end was reached
        self._report(order.utterance, completed=not parts)

    def _render_ahead(self, sentence: str, rate: int) -> None:
        try:
            self._renderer.render(sentence, rate)
        except VoiceFault:
            self._ahead.clear()  # nobody asked for it yet; who does will be told

    def _give_up(self) -> None:
        """Report what waits as not said: the loudspeaker is gone."""
        self._mixer.clear()
        self._ahead.clear()
        for utterance in sorted(self._open):
            self._report(utterance, completed=False)

    def _report(self, utterance: int, completed: bool) -> None:
        text = self._open.pop(utterance, None)
        if text is not None:
            self._on_said(text, completed)


def _sentence_of(failure: Failure) -> str:
    return failure.sentence or f"The {failure.part} failed ({failure.error}); end the program and start it again."
