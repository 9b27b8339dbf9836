"""What trains the classifier of keywords: recordings of people, pieces of their talk, and what synthetic voices say."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

import numpy as np

from assistant.hearing.mixing import is_noise
from assistant.hearing.record import prompts
from assistant.voice.ports import NO_KEYWORD
from models.recipe import people
from models.recipe.blocks import RATE, Audio, Clip, read_clips
from models.recipe.joining import DIGITS
from models.recipe.synthesis import render
from models.recipe.voices import draw_voice

BEFORE = ("count", "i count", "reading", "it reads", "filled", "go to", "it is at step", "bolt")
"""What may stand before a number, and is told by the classifier."""
SYNTHETIC = "synthetic"
_NOT_BEFORE = (
    "found", "down", "about", "around", "and", "now", "the", "come", "out", "mount", "town", "one", "two", "at",
    "number", "page", "room", "step", "only", "it is", "there are", "we have", "i want", "give me", "call", "bus",
    "gate", "chapter", "channel", "platform", "go back", "remind me in", "lost bolt", "operator", "it takes",
)  # fmt: skip
"""Words that may stand before a number by chance."""
_FAMILIES = ("espeak", "flite", "hibari", "hibari")
_OFTEN = 8
_ONE_SPEAKER = "felix_one_speaker"
_MOST, _MOST_OF_ONE, _MOST_EACH, _MOST_DIGITS = 250, 40, 6, 8
"""Recordings of one word: of one set, of the set with one speaker, of one person, of one person of ``fsdd``."""
_PIECES = 3000
_TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_LONGEST_PHRASE = 5
_T = TypeVar("_T")
_HEARD = 300
"""A recording whose loudest sample is below this holds no word."""


@dataclass(frozen=True, slots=True)
class Recorded:
    """A word, what stands before it (None where nobody knows), the set, and the sound, shape (n,)."""

    word: str
    before: str | None
    source: str
    audio: Audio


@dataclass
class Material:
    """All that sounds are made of."""

    recorded: list[Recorded] = field(default_factory=list)
    digits: list[list[Audio]] = field(default_factory=list)
    """Digits of each person who says several."""
    before: list[tuple[str, Audio]] = field(default_factory=list)
    noise: list[Audio] = field(default_factory=list)


def gathered(parts: Path, seed: int) -> Material:
    """Return what there is in ``parts``, with what synthetic voices say.

    Raises:
        OSError: a synthetic voice is missing, or a part cannot be read.
    """
    draw = random.Random(seed)
    found = Material(noise=[audio.copy() for _, audio in read_clips(parts, "train-noise") if is_noise(audio)])
    words, pieces = [], []
    for clip, audio in read_clips(parts, "train-human"):
        is_word = bool(clip.text) and " " not in clip.text
        if is_word and clip.source in people.SETS | {_ONE_SPEAKER}:
            words.append((clip, audio.copy()))
        elif is_word:
            pieces.append(Recorded(NO_KEYWORD, NO_KEYWORD, clip.source, audio.copy()))
        elif audio.size > 1.3 * RATE:
            size = int(draw.uniform(0.35, 1.3) * RATE)
            begin = draw.randrange(audio.size - size)
            pieces.append(Recorded(NO_KEYWORD, NO_KEYWORD, clip.source, audio[begin : begin + size].copy()))
    draw.shuffle(words)
    draw.shuffle(pieces)
    _add_people(found, words)
    said = [Recorded(word, before, SYNTHETIC, audio) for (word, before), audio in _spoken(_texts(draw), draw)]
    found.recorded += [*pieces[:_PIECES], *said]
    phrases = [("count", "count")] * 10 * _OFTEN + [(one, one) for one in BEFORE] * _OFTEN
    phrases += [(one, NO_KEYWORD) for one in _NOT_BEFORE] * 2
    found.before = [(before, audio) for before, audio in _spoken(phrases, draw)]
    return found


def _add_people(found: Material, words: Iterable[tuple[Clip, Audio]]) -> None:
    taken: dict[tuple[str, str], int] = {}
    digits: dict[str, list[Audio]] = {}
    for clip, audio in words:
        of_set = taken[clip.text, clip.source] = taken.get((clip.text, clip.source), 0) + 1
        of_person = taken[clip.text, clip.speaker] = taken.get((clip.text, clip.speaker), 0) + 1
        most = _MOST_OF_ONE if clip.source == _ONE_SPEAKER else _MOST
        each = _MOST_DIGITS if clip.source == "fsdd" else _MOST_EACH
        if of_set > most or of_person > each or np.abs(audio).max() <= _HEARD:
            continue
        found.recorded.append(Recorded(clip.text, "", clip.source, audio))
        if clip.text in DIGITS:
            digits.setdefault(clip.speaker, []).append(audio)
    found.digits = [sounds for sounds in digits.values() if len(sounds) > 1]


def _spoken(texts: Iterable[tuple[str, _T]], draw: random.Random) -> Iterator[tuple[_T, Audio]]:
    """Yield what goes with each of ``texts`` and how a voice says it that is drawn for it."""
    for text, what in texts:
        audio = render(draw_voice(draw.choice(_FAMILIES), draw), [text])[0]
        if audio.size > RATE // 10:
            yield what, audio


def _texts(draw: random.Random) -> list[tuple[str, tuple[str, str | None]]]:
    """Return what synthetic voices say, each with the keyword that it ends with and what stands before that."""
    numbers = list(people.whole_numbers())
    texts: list[tuple[str, tuple[str, str | None]]] = [(word, (word, "")) for word in numbers for _ in range(20)]
    texts += [(word, (word, "")) for word in ("yes", "no") for _ in range(50)]
    texts += [(word, (word, "")) for word in people.TEN_WORDS if word not in ("yes", "no") for _ in range(8)]
    for word in numbers * 20:
        before = draw.choice(BEFORE)
        texts.append((f"{before} {word}", (word, before)))
    texts += [(word, (NO_KEYWORD, None)) for word in (*_TENS, "one hundred", "hundred") for _ in range(6)]
    for word in _TENS * 8:
        before = draw.choice(BEFORE)
        texts.append((f"{before} {word}", (NO_KEYWORD, before)))
    for _ in range(350):
        two = draw.choice(
            (
                f"{draw.choice(('twenty', *_TENS))} {draw.choice(numbers[1:10])}",
                f"{draw.choice(DIGITS)} {draw.choice(DIGITS)}",
                f"{draw.choice(numbers)} point {draw.choice(DIGITS)}",
                f"point {draw.choice(DIGITS)} {draw.choice(DIGITS)}",
            )
        )
        texts.append((f"{draw.choice(('', '', *BEFORE))} {two}".strip(), (NO_KEYWORD, None)))
    ours = [text for text in prompts() if text.split()[-1] not in numbers and text not in ("yes", "no")]
    near = Path("models/bay-en/conf/near-words.txt").read_text("utf-8").split()
    others = [text for text in (*ours, *near) if len(text.split()) <= _LONGEST_PHRASE]
    return texts + [(text, (NO_KEYWORD, None)) for text in others for _ in range(2)]
