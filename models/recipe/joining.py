"""Stage 2c: numbers by people behind phrases of synthetic voices, and digits of one person one after another.

People who train say single numbers, and some words far oftener than others: of the recordings of *zero* and *two* by
many people nine in ten are *zero*, and a net that hears them as they are takes the one for the other behind *count*.
Here each number is drawn as often as any other, and each person as often as any other.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from models.recipe import people
from models.recipe.blocks import RATE, Audio, PartWriter, read_clips, training_parts

PART, SOURCE = "train-joined", "joined"
BEFORE = ("count", "count", "i count", "reading", "it reads", "filled", "go to", "it is at step", "bolt")
"""What a number is said behind; *count* twice, since a job asks for it most."""
DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_ALONE = 0.35
"""Share of digits that stand without a phrase before them."""
_RECORDINGS = people.SETS | {"felix_one_speaker"}
_LOUDEST = 32_000
_LONGEST_S = 6.0


def join(parts: Path, amount: int, seed: int = 1) -> int:
    """Write the part ``train-joined`` into ``parts``: ``amount`` numbers, a third of them digit by digit; return it.

    Raises:
        ValueError: no person who trains says a number, or no synthetic voice a phrase before one.
    """
    rng = random.Random(seed)
    before, numbers = _gathered(parts)
    if not before or not numbers:
        raise ValueError(
            f"{parts} holds no numbers by people, or no phrases before them: gather and speak these first."
        )
    writer = PartWriter(parts, PART)
    for _ in range(amount):
        word = rng.choice(sorted(numbers))
        person = rng.choice(sorted(numbers[word]))
        texts, sounds = [word], [rng.choice(numbers[word][person])]
        if rng.random() < 1 / 3:
            texts, sounds = _digits(numbers, person, rng)
        if len(texts) == 1 or rng.random() > _ALONE:
            phrase = rng.choice(sorted(before.keys() & set(BEFORE)))
            texts, sounds = [phrase, *texts], [rng.choice(before[phrase]), *sounds]
        sound = _in_a_row(sounds, rng)
        if len(sound) < _LONGEST_S * RATE:
            writer.add(sound, " ".join(texts), person, SOURCE)
    return writer.close()


def _gathered(parts: Path) -> tuple[dict[str, list[Audio]], dict[str, dict[str, list[Audio]]]]:
    """Return the recordings of phrases that stand before a number, and those of numbers by word and person."""
    before: dict[str, list[Audio]] = {}
    numbers: dict[str, dict[str, list[Audio]]] = {}
    for part in training_parts(parts):
        for clip, audio in read_clips(parts, part) if part != PART else ():
            if clip.source in {"synthetic-command", "natural-command"} and clip.text in BEFORE:
                before.setdefault(clip.text, []).append(audio)
            elif clip.source in _RECORDINGS and clip.text in people.whole_numbers() and _speaks(audio):
                numbers.setdefault(clip.text, {}).setdefault(clip.speaker, []).append(audio)
    return before, numbers


def _speaks(audio: Audio) -> bool:
    """Return whether anything stands out of the recording: some are of a breath, or cut beside the word."""
    sound = people.alone(audio)
    return len(sound) > RATE // 10 and np.abs(audio).max() > 300


def _digits(
    numbers: Mapping[str, Mapping[str, list[Audio]]], person: str, rng: random.Random
) -> tuple[list[str], list[Audio]]:
    """Return two to four digits by ``person``, or by who says one where this person says few."""
    own = [digit for digit in DIGITS if person in numbers.get(digit, {})]
    if len(own) < 2:
        digit = rng.choice([digit for digit in DIGITS if digit in numbers])
        return [digit], [rng.choice(numbers[digit][rng.choice(sorted(numbers[digit]))])]
    drawn = [rng.choice(own) for _ in range(rng.randint(2, 4))]
    return drawn, [rng.choice(numbers[digit][person]) for digit in drawn]


def _in_a_row(sounds: list[Audio], rng: random.Random) -> Audio:
    """Return ``sounds`` one behind another without their pauses, all as loud as the last, shape (n,)."""
    bare = [people.alone(sound) for sound in sounds]
    level = people.level(bare[-1])
    row: list[np.ndarray] = []
    for sound in bare:
        row += [sound * (level / people.level(sound)), np.zeros(int(rng.uniform(0.02, 0.18) * RATE))]
    whole = np.concatenate(row[:-1])
    return np.rint(whole * min(1.0, _LOUDEST / np.abs(whole).max())).astype(np.int16)
