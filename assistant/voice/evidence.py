"""How sure a phrase is: each of its words is weighed against what the sounds would be without any phrase.

A closed list of phrases always offers one of them, whatever was said. So a second, free recogniser names the bare
sounds (phones) of the same utterance. Where the phrase is right, its words explain the sound about as well as free
phones do; where it was forced onto something else, they explain it far worse. The measure is the log likelihood ratio
per frame of a word against the free phones, as in utterance verification (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FRAME_S = 0.01
"""Length of one recogniser frame [s]."""
WORST, MEAN, EDGE, LENGTH, ALWAYS = 0.83, 0.96, 1.06, 1.96, 1.46
"""Weights of the confidence of an utterance: of its worst word, its mean and its worst edge [1/nats], of its length
[1/s], and a constant. Logistic regression on phrases of eleven synthetic voices, quiet and 20 dB over noise, against
wrongly recognised phrases and speech that is no phrase, synthetic and human; ``tests/bench/hearing.py`` measures it."""
LONGEST_S = 1.0
"""Words longer than this [s] make a phrase no surer."""
WORD, WORD_ALWAYS = 1.39, 2.72
"""The same for the confidence of one word: of its ratio [1/nats], and a constant."""
VOWELS = frozenset(["AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"])

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Span:
    """One piece of an utterance: its name, its first and last frame, and its log likelihood [nats] as a whole."""

    name: str
    first: int
    last: int
    score: float

    @property
    def frames(self) -> int:
        """Number of frames."""
        return self.last - self.first + 1


def is_filler(name: str) -> bool:
    """Return whether a piece is silence or noise (``SIL``, ``<sil>``, ``+NSN+``), not a word or a phone."""
    return name == "SIL" or name[:1] in "<+["


def per_frame(spans: Sequence[Span], frames: int) -> Floats:
    """Spread the score of each span evenly over its frames; shape (frames,), nats; frames without a span get 0."""
    scores = np.zeros(frames)
    for span in spans:
        scores[span.first : span.last + 1] = span.score / span.frames
    return scores


def ratios(words: Sequence[Span], phones: Sequence[Span]) -> list[float]:
    """Return for each word or silence its log likelihood ratio per frame [nats] against the free phones."""
    frames = max((span.last for span in (*words, *phones)), default=-1) + 1
    free = per_frame(phones, frames)
    return [(word.score - float(free[word.first : word.last + 1].sum())) / word.frames for word in words]


def confidence(evidence: float) -> float:
    """Map evidence [log odds] to a confidence from 0 to 1 (the logistic curve)."""
    return 1.0 / (1.0 + math.exp(-max(-60.0, min(60.0, evidence))))


def weigh(words: Sequence[Span], phones: Sequence[Span]) -> tuple[float, list[tuple[str, float]]]:
    """Return the confidence of the utterance and that of each word (name, 0 to 1).

    A silence that fits worse than it should hides speech: a phrase with something else before, in or after it is not
    that phrase. A phrase of few frames is less sure than a long one.
    """
    each: list[tuple[str, float]] = []
    worst, edge, total, frames = math.inf, 0.0, 0.0, 0
    for span, ratio in zip(words, ratios(words, phones), strict=True):
        if is_filler(span.name):
            edge = min(edge, ratio)
        else:
            worst = min(worst, ratio)
            total += ratio * span.frames
            frames += span.frames
            each.append((span.name, confidence(WORD * ratio + WORD_ALWAYS)))
    if not each:
        return 0.0, []
    length = min(frames * FRAME_S, LONGEST_S)
    return confidence(WORST * worst + MEAN * total / frames + EDGE * edge + LENGTH * length + ALWAYS), each


def is_speech_like(phones: Sequence[Span]) -> bool:
    """Return whether free phones look like a word or two: vowels among consonants, not one long noise."""
    sounding = [span for span in phones if not is_filler(span.name)]
    frames = sum(span.frames for span in sounding)
    noise = sum(span.frames for span in phones if span.name[:1] == "+")
    vowels = sum(span.frames for span in sounding if span.name in VOWELS)
    return len(sounding) >= 3 and vowels * FRAME_S >= 0.06 and vowels >= 0.15 * frames and noise < 0.5 * frames
