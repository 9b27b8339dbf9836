"""What a voice of their own brings: for people of one part, enrolled on half of their recordings, heard on the other half.

    python -m tests.bench.voice_profiles PARTS dev [--least 16] [--most 60] [--out FILE.json]

PARTS is the folder of parts that the recipe of the model gathers (``models/recipe/gather.py``). Each person says single
words; they are heard with all phrases of the assistant open and these words beside them. For each person it is told how
many are right and wrong without and with the profile, in quiet and at 10 and 5 dB, and whether the profile would be
used; then, with each profile that is used, how others are heard. Choose on ``dev``; show once on ``test``.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter, defaultdict
from pathlib import Path

import numpy as np

from assistant.events import Grammar
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mixing import mixed
from assistant.hearing.voice_made import Clip, VoiceLearner
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import OWN_MODEL
from models.recipe.blocks import read_clips

_SOURCES = ("gsc_more_people", "gsc_9words", "gsc_small", "coswara_parts")
_LEVELS = (None, 10.0, 5.0)
_OTHERS = 40


def people(parts: Path, part: str, least: int, most: int) -> dict[str, list[Clip]]:
    """Return the recordings of single words of each person who has at least ``least``, the first ``most``."""
    found: dict[str, list[Clip]] = defaultdict(list)
    for clip, audio in read_clips(parts, f"{part}-human"):
        if clip.source in _SOURCES and " " not in clip.text:
            found[clip.speaker].append((clip.text, audio))
    return {who: clips[:most] for who, clips in sorted(found.items()) if len(clips) >= least}


class Measured:
    """The people of one part, and how they are heard."""

    def __init__(self, parts: Path, part: str, clips: dict[str, list[Clip]], model: Path) -> None:
        noise_part = "test-noise" if part == "test" else "train-noise"
        self.noises = [audio for _, audio in read_clips(parts, noise_part) if len(audio) > 8000 and audio.std() > 1]
        words = sorted({text for said in clips.values() for text, _ in said})
        self.learner = VoiceLearner(model, Grammar(tuple(dict.fromkeys((*phrases_for(()).phrases, *words)))))
        self.halves: dict[str, tuple[list[Clip], list[Clip]]] = {}
        for who, said in clips.items():
            order = np.random.default_rng(5).permutation(len(said))
            half = len(said) // 2
            self.halves[who] = ([said[n] for n in order[:half]], [said[n] for n in order[half:]])

    def counted(self, recogniser: VoskRecogniser, clips: list[Clip]) -> Counter[str]:
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


def main() -> None:
    """Measure, and print a line for each person and the sums."""
    options = argparse.ArgumentParser()
    options.add_argument("parts", type=Path)
    options.add_argument("part", choices=("dev", "test"))
    options.add_argument("--model", type=Path, default=OWN_MODEL)
    options.add_argument("--least", type=int, default=16)
    options.add_argument("--most", type=int, default=60)
    options.add_argument("--out", type=Path)
    given = options.parse_args()
    clips = people(given.parts, given.part, given.least, given.most)
    measured = Measured(given.parts, given.part, clips, given.model)
    total: Counter[str] = Counter()
    told = {}
    for who, (enrolled, rest) in measured.halves.items():
        made = measured.learner.made(enrolled)
        fitted = measured.learner.recogniser(made.change)
        before, after = measured.counted(measured.learner.usual, rest), measured.counted(fitted, rest)
        is_used = made.helps
        others = [clip for other, (_, said) in measured.halves.items() if other != who for clip in said]
        drawn = np.random.default_rng(len(rest)).permutation(len(others))[:_OTHERS]
        beside = [others[int(n)] for n in drawn]
        others_before = measured.counted(measured.learner.usual, beside) if is_used else Counter[str]()
        others_after = measured.counted(fitted, beside) if is_used else Counter[str]()
        for name, counts in (("before ", before), ("after ", after if is_used else before)):
            total.update({name + key: value for key, value in counts.items()})
        for name, counts in (("others before ", others_before), ("others after ", others_after)):
            total.update({name + key: value for key, value in counts.items()})
        told[who] = {"used": is_used, "before": before, "after": after, "held back": [made.without.right, made.with_it.right, made.with_it.of],
                     "others before": others_before, "others after": others_after}  # fmt: skip
        print(
            f"{who}: enrolled {len(enrolled)}; held back {made.without.right} -> {made.with_it.right} of {made.with_it.of}"
            f" ({'used' if is_used else 'not used'}); other half right {before['right']} -> {after['right']}, wrong "
            f"{before['wrong']} -> {after['wrong']} of {before['of']}; others right {others_before['right']} -> "
            f"{others_after['right']}, wrong {others_before['wrong']} -> {others_after['wrong']} of {others_after['of']}",
            flush=True,
        )
    for key in sorted(total):
        print(f"{key}: {total[key]}")
    if given.out:
        given.out.write_text(json.dumps({"people": told, "sum": total}, indent=1), "utf-8")


if __name__ == "__main__":
    main()
