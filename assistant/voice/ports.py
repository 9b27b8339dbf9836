"""The ports of the voice room: what a microphone, a recogniser and a speaker must do, whoever makes them.

Sound inside the room is 16 kHz, mono, signed 16-bit, in blocks of 20 ms (320 samples).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
import numpy.typing as npt

from assistant.events import Adjust, Grammar, Heard, Thresholds, ToneKind
from assistant.voice.faults import VoiceFault as VoiceFault  # noqa: PLC0414 (others know it from here)

RATE = 16_000
"""Samples per second."""
BLOCK = 320
"""Samples in one block (20 ms)."""

Samples = npt.NDArray[np.int16]


@dataclass(frozen=True, slots=True)
class Block:
    """20 ms of sound: ``samples``, shape (320,), whose last one was heard at ``ended_at`` (seconds since the epoch)."""

    samples: Samples
    ended_at: float


class Microphone(Protocol):
    """Where blocks come from: a sound card as time goes by, or a recording as fast as it is read."""

    def read(self, timeout: float) -> Block | None:
        """Return the next block, or None when none came within ``timeout`` seconds (or none will: see ``ended``)."""

    @property
    def ended(self) -> bool:
        """Whether no block will ever come again (the recording is over, or ``close`` was called)."""

    def close(self) -> None:
        """Stop and free the device or file."""


class VoiceDetector(Protocol):
    """Tells human voices from bangs and machines. One instance serves one thread."""

    def start(self) -> None:
        """Begin anew: what comes next does not follow on what was fed before."""

    def feed(self, block: Samples) -> float:
        """Take the next block, shape (n,), of all that is heard; return how likely a voice sounds now (0 to 1)."""


class EchoCanceller(Protocol):
    """Takes the own voice out of the microphone's sound. One instance serves one thread."""

    def start(self) -> None:
        """Begin anew, with a way from the loudspeaker to the microphone that nothing is known of."""

    def process(self, microphone: Samples, played: Samples) -> Samples:
        """Return ``microphone``, shape (n,), without what it hears of ``played``, shape (n,), at that time or before.

        Every block of both has to come, in order; n is a multiple of 160 (10 ms).

        Raises:
            VoiceFault: the canceller broke.
        """


@dataclass(frozen=True, slots=True)
class Opinion:
    """What the net that knows speech makes of all that it has heard lately; it is some 0.4 s behind."""

    words_s: float = 0.0
    """For how long it has heard words that it has not heard the end of [s]; 0 when it hears none."""
    is_phrase: bool = False
    """Whether these words are exactly one whole phrase."""
    is_over: bool = False
    """Whether they ended with this block: it heard half a second of silence after them."""


SILENCE = Opinion()
"""No words are heard."""


class Recogniser(Protocol):
    """Turns the blocks of one utterance into words, and attends to all the rest. One instance serves one thread."""

    @property
    def limits(self) -> Thresholds:
        """The least confidences for this engine, per weight."""

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that the model cannot hear, in rising order, each with a near one that it can (or "")."""

    def attend(self, block: Samples) -> Opinion:
        """Take the next block, shape (n,), of all that is heard, within an utterance or not.

        What was attended to is not lost when the grammar changes.
        """

    def forget(self) -> None:
        """Attend anew: what comes next does not follow on what was attended to before."""

    def start(self) -> None:
        """Begin an utterance."""

    def feed(self, block: Samples) -> None:
        """Take the next block, shape (n,), of the utterance."""

    def settled(self, pause_s: float) -> bool:
        """Return whether what was heard so far is a whole phrase that nothing more belongs to.

        It is asked again and again while it is silent, and told for how long [s]; 0 asks whether the recogniser itself
        has heard silence for long enough. A phrase that a longer one begins with, and a number, want a longer pause
        than others.
        """

    def finish(self, started_at: float, ended_at: float) -> Heard:
        """End the utterance (times in seconds since the epoch) and say what it was."""


class Speaker(Protocol):
    """Speaks sentences and sounds tones, in the order asked; never blocks the caller."""

    def say(self, text: str, *, cut: bool = True) -> None:
        """Speak ``text``; with ``cut`` stop what is being said and forget what is queued."""

    def tone(self, kind: ToneKind) -> None:
        """Sound a tone at once, over anything that is being said."""

    def hush(self) -> None:
        """Stop within 100 ms and forget what is queued."""

    def adjust(self, change: Adjust) -> bool:
        """Turn a knob for all that is said from now on; return False where it is at its end already."""

    def expect(self, texts: Iterable[str]) -> None:
        """Render these sentences ahead when there is nothing better to do."""

    def is_sounding(self) -> bool:
        """Return whether anything can be heard from the loudspeaker now."""

    def quiet_s(self) -> float:
        """Return for how long nothing has been said [s]; 0 while something is. Tones are no words.

        What was read back waits from then on, so a tone for each noise of the bay must not keep it open.
        """

    def seconds_left(self) -> float:
        """Return for how long it sounds still, at least [s]; 0 when nothing does."""

    def unsaid(self, ago_s: float) -> str:
        """Return the sentences that had not been spoken to their end ``ago_s`` seconds ago, one after another.

        What was hushed is among them, until something else is said in its place.
        """

    def close(self) -> None:
        """Stop and free the device and the synthesiser."""


class Synthesiser(Protocol):
    """Renders a sentence to samples. One instance serves one thread at a time."""

    def render(self, text: str, *, rate: int, rate_hz: int) -> Samples:
        """Return the speech for ``text`` at ``rate`` words per minute, sampled at ``rate_hz``, shape (n,).

        Silence before the first and after the last sound is cut off. Text without a word gives no samples.

        Raises:
            VoiceFault: the engine broke.
        """

    def close(self) -> None:
        """Free the engine."""


NO_KEYWORD = "*"
"""Stands among keywords, and among what is before them, for everything that is none of them."""


@dataclass(frozen=True, slots=True)
class Written:
    """What was written of a sound, how likely it was, and how much likelier than other words that were asked about.

    ``doubts`` are logs of ratios of chances [nats], one for each of those; negative where they were likelier.
    ``chance`` is the log of the chance of all that is written [nats], never above 0. ``keywords`` has the chance (0 to
    1) of some short words that the sound may end with, and of none of them, ``before`` that of what stands before
    such a word, and of nothing (""); both are empty where nobody listens for them.
    """

    text: str
    doubts: tuple[float, ...] = ()
    chance: float = 0.0
    keywords: Mapping[str, float] = field(default_factory=dict)
    before: Mapping[str, float] = field(default_factory=dict)


class Writer(Protocol):
    """Writes down free speech better than a recogniser of phrases can. One instance serves one thread at a time."""

    def write(self, samples: Samples) -> str:
        """Return the words of ``samples``, shape (n,), as they would be written; "" where there are none.

        Raises:
            VoiceFault: the engine broke.
        """

    def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
        """Return the words of ``samples``, shape (n,), and how much likelier they are than each of ``said``.

        With the same sound without its noise below it, shape (2, n), keywords are heard in both.

        Raises:
            VoiceFault: the engine broke.
        """

    def close(self) -> None:
        """Free the engine."""


OnHeard = Callable[[Heard], None]
"""Called on the listening thread with each utterance."""
