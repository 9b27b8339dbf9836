"""Renders sentence by sentence, so that the first can sound while the others are made, and remembers what it made."""

from __future__ import annotations

import re
from collections import OrderedDict

from assistant.voice.ports import Samples, Synthesiser
from assistant.voice.speaking.mixer import Clip

RATE_LEAST, RATE_MOST = 80, 200
"""Words per minute, the slowest and the fastest that can be asked for by voice: above 200, words of the usual voice
begin to sound like others (twelve like two). The settings may ask for more."""
RATE_STEP = 1.15
"""One step of the rate knob: a change in tempo of 15 % is plainly heard (common practice, no source)."""
VOLUME_LEAST, VOLUME_MOST = -40.0, 0.0
"""Decibels below what was rendered, the quietest and the loudest that can be asked for."""
VOLUME_STEP = 3.0
"""One step of the volume knob [dB]: twice or half the power, a change that is plainly heard (common practice)."""
_GAP_S = 0.25
"""The pause between two sentences at ``_GAP_RATE`` words per minute; it shrinks as speech gets faster."""
_GAP_RATE = 165
_KEPT_S = 300
"""How many seconds of rendered speech are kept (48 kHz: 29 MB)."""

WORDS_MOST, LETTERS_MOST = 40, 300
"""No longer piece is given to an engine at once: it must be able to answer soon, whatever somebody dictated."""

_SENTENCE_END = re.compile(r"(?<=[.!?;:])\s+")


def breath_groups(text: str) -> list[str]:
    """Split ``text`` where a speaker would pause for breath: after a full stop, a question mark, a colon.

    What is longer than a breath is cut as well, after a comma where there is one.
    """
    parts = (piece for part in _SENTENCE_END.split(text.strip()) for piece in _breaths(part))
    return [part for part in parts if any(letter.isalnum() for letter in part)]


def _breaths(part: str) -> list[str]:
    if len(part) <= LETTERS_MOST and part.count(" ") < WORDS_MOST:
        return [part]
    found: list[str] = []
    now: list[str] = []
    for word in (piece for whole in part.split() for piece in _pieces(whole)):
        if now and (len(now) == WORDS_MOST or sum(map(len, now)) + len(now) + len(word) > LETTERS_MOST):
            commas = [at for at, one in enumerate(now, 1) if one.endswith(",")]
            end = commas[-1] if commas and commas[-1] > len(now) // 2 else len(now)
            found.append(" ".join(now[:end]))
            now = now[end:]
        now.append(word)
    return [*found, " ".join(now)]


def _pieces(word: str) -> list[str]:
    return [word[at : at + LETTERS_MOST] for at in range(0, len(word), LETTERS_MOST)]


class Renderer:
    """A synthesiser with a memory. One instance serves one thread at a time."""

    def __init__(self, synthesiser: Synthesiser, rate_hz: int) -> None:
        """Render with ``synthesiser`` at ``rate_hz`` samples per second."""
        self._synthesiser = synthesiser
        self._rate_hz = rate_hz
        self._kept: OrderedDict[tuple[str, int], Samples] = OrderedDict()
        self._kept_size = 0

    def close(self) -> None:
        """Free the synthesiser."""
        self._synthesiser.close()

    def render(self, sentence: str, rate: int) -> Samples:
        """Return ``sentence`` at ``rate`` words per minute, shape (n,).

        Raises:
            VoiceFault: the synthesiser broke.
        """
        key = (sentence, rate)
        if key in self._kept:
            self._kept.move_to_end(key)
            return self._kept[key]
        samples = self._synthesiser.render(sentence, rate=rate, rate_hz=self._rate_hz)
        self._kept[key] = samples
        self._kept_size += samples.size
        while self._kept_size > _KEPT_S * self._rate_hz and len(self._kept) > 1:
            self._kept_size -= self._kept.popitem(last=False)[1].size
        return samples

    def clip(self, sentence: str, rate: int, utterance: int, *, last: bool, part: int = 0) -> Clip:
        """Return ``sentence``, number ``part`` of ``utterance``, as a clip with the pause that belongs before it.

        Raises:
            VoiceFault: the synthesiser broke.
        """
        gap = round(_GAP_S * _GAP_RATE / rate * self._rate_hz)
        return Clip(self.render(sentence, rate), utterance, last, gap, part)


def turned_rate(rate: int, steps: int) -> int:
    """Return the words per minute ``steps`` steps faster (negative: slower) than ``rate``, within the bounds.

    A rate that the settings put above them is not raised further.
    """
    return min(max(rate, RATE_MOST), max(RATE_LEAST, round(rate * RATE_STEP**steps)))


def turned_volume(volume: float, steps: int) -> float:
    """Return the decibels ``steps`` steps louder (negative: quieter) than ``volume``, within the bounds."""
    return min(VOLUME_MOST, max(VOLUME_LEAST, volume + VOLUME_STEP * steps))
