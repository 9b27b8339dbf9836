"""What a voice of their own brings: people enrol on half of their recordings, and are heard on the other half.

    python -m tests.bench.voice_profiles PARTS dev [--least 16] [--most 40]

PARTS is the folder of parts that the recipe of the model gathers (``models/recipe/gather.py``). Each person says single
words; they are heard with all phrases of the assistant open and these words beside them. For each person it is told how
many are right and wrong without and with the profile, in quiet and at 10 and 5 dB, and whether the profile would be
used; then, with each profile that is used, how others are heard. Choose on ``dev``; show once on ``test``.
"""

from __future__ import annotations

import argparse
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.events import Grammar
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mixing import mixed
from assistant.hearing.voice_made import MadeVoice, SaidClip, VoiceLearner
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import OWN_MODEL
from models.recipe.blocks import read_clips

_SOURCES = ("gsc_more_people", "gsc_9words", "gsc_small", "coswara_parts")
_LEVELS = (None, 10.0, 5.0)
_OTHERS = 40


def people(parts: Path, part: str, least: int, most: int) -> dict[str, list[SaidClip]]:
    """Return the recordings of single words of each person who has at least ``least``, the first ``most``."""
    found: dict[str, list[SaidClip]] = defaultdict(list)
    for clip, audio in read_clips(parts, f"{part}-human"):
        if clip.source in _SOURCES and " " not in clip.text:
            found[clip.speaker].append((clip.text, audio))
    return {who: clips[:most] for who, clips in sorted(found.items()) if len(clips) >= least}


class Measured:
    """The people of one part, and how they are heard."""

    def __init__(self, parts: Path, part: str, clips: dict[str, list[SaidClip]], model: Path) -> None:
        noise_part = "test-noise" if part == "test" else "train-noise"
        self.noises = [audio for _, audio in read_clips(parts, noise_part) if len(audio) > 8000 and audio.std() > 1]
        words = sorted({text for said in clips.values() for text, _ in said})
        self.learner = VoiceLearner(model, Grammar(tuple(dict.fromkeys((*phrases_for(()).phrases, *words)))))
        self.halves: dict[str, tuple[list[SaidClip], list[SaidClip]]] = {}
        for who, said in clips.items():
            order = np.random.default_rng(5).permutation(len(said))
            half = len(said) // 2
            self.halves[who] = ([said[n] for n in order[:half]], [said[n] for n in order[half:]])

    def counted(self, recogniser: VoskRecogniser, clips: list[SaidClip]) -> Counter[str]:
        """Return how many of ``clips`` are right and wrong at each level."""
        found: Counter[str] = Counter()
        random = np.random.default_rng(2)
        for text, audio in clips:
            for level in _LEVELS:
                noise = self.noises[int(random.integers(len(self.noises)))] if level is not None else None
                heard = self.learner.heard(recogniser, mixed(audio, noise, level, random))
                found[f"{level} right"] += heard == text
                found[f"{level} wrong"] += heard not in ("", text)
                found["right"] += heard == text
                found["wrong"] += heard not in ("", text)
                found["of"] += 1
        return found


@dataclass(frozen=True, slots=True)
class Person:
    """What the profile of one person brings: counts of what that person and others say, without it and with it."""

    who: str
    made: MadeVoice
    before: Counter[str]
    after: Counter[str]
    others_before: Counter[str]
    others_after: Counter[str]

    @property
    def line(self) -> str:
        """For the table."""
        held, b, a, ob, oa = self.made, self.before, self.after, self.others_before, self.others_after
        used = "used" if held.helps else "not used"
        told = f"{self.who}: held back {held.without.right} -> {held.with_it.right} of {held.with_it.of}, {used}; "
        told += f"other half {b['right']} -> {a['right']} right, {b['wrong']} -> {a['wrong']} wrong of {b['of']}"
        if not held.helps:
            return told
        return (
            f"{told}; others {ob['right']} -> {oa['right']} right, {ob['wrong']} -> {oa['wrong']} wrong of {ob['of']}"
        )


def measured_people(measured: Measured) -> Iterator[Person]:
    """Yield each person, as measured."""
    for who, (enrolled, rest) in measured.halves.items():
        usual, made = measured.learner.usual, measured.learner.made(enrolled)
        fitted = measured.learner.recogniser(made.change)
        others = [clip for other, (_, said) in measured.halves.items() if other != who for clip in said]
        drawn = np.random.default_rng(len(rest)).permutation(len(others))[: _OTHERS if made.helps else 0]
        beside = [others[int(n)] for n in drawn]
        own = measured.counted(usual, rest), measured.counted(fitted, rest)
        yield Person(who, made, *own, measured.counted(usual, beside), measured.counted(fitted, beside))


def main() -> None:
    """Measure, and print a line for each person and the sums."""
    options = argparse.ArgumentParser()
    options.add_argument("parts", type=Path)
    options.add_argument("part", choices=("dev", "test"))
    options.add_argument("--model", type=Path, default=OWN_MODEL)
    options.add_argument("--least", type=int, default=16)
    options.add_argument("--most", type=int, default=40)
    given = options.parse_args()
    clips = people(given.parts, given.part, given.least, given.most)
    found = []
    for person in measured_people(Measured(given.parts, given.part, clips, given.model)):
        print(person.line, flush=True)
        found.append(person)
    used = [one for one in found if one.made.helps]
    change = [one.after["right"] - one.before["right"] for one in used]
    print(f"{len(found)} people, {len(used)} with a profile: {sum(x > 0 for x in change)} heard better, "
          f"{sum(x == 0 for x in change)} as before, {sum(x < 0 for x in change)} worse")  # fmt: skip
    for called, pairs in (
        ("those with a profile", [(one.before, one.after) for one in used]),
        ("others while it is on", [(one.others_before, one.others_after) for one in used]),
    ):
        before, after = (sum((pair[n] for pair in pairs), Counter[str]()) for n in (0, 1))
        for key in sorted(key for key in before if key.endswith(("right", "wrong"))):
            print(f"{called}, {key}: {before[key]} -> {after[key]} of {before['of']} at all levels")


if __name__ == "__main__":
    main()
