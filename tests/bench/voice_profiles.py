"""What a voice of their own brings: people enrol on half of their recordings, and are heard on the other half.

    python -m tests.bench.voice_profiles PARTS dev [--least 16] [--most 40] [--kept FOLDER]

PARTS is the folder of parts that the recipe of the model gathers (``models/recipe/gather.py``). Each person says single
words; they are heard with all phrases of the assistant open and these words beside them. For each person it is told how
many are right and wrong without and with the profile, in quiet and at 10 and 5 dB, and whether the profile would be
used; then, with each profile that is used, how two words of everybody else are heard. Choose on ``dev``; show once on
``test``. It takes a minute for each person; with ``--kept`` what was measured is kept in FOLDER, a run that was broken
off goes on from there, and another rule of when a profile is used is shown in a moment.
"""

from __future__ import annotations

import argparse
import json
import os
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command has it: threads wait for each other in a loop

import numpy as np

from assistant.events import Grammar
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mixing import mixed
from assistant.hearing.voice_made import HeardAs, HeldBack, SaidClip, TriedVoice, VoiceLearner
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.limits import hash_of_net
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.own.learning import VoiceChange
from assistant.voice.ports import Samples
from models.recipe.blocks import read_clips

_SOURCES = ("gsc_more_people", "gsc_9words", "gsc_small", "coswara_parts")
_LEVELS = (None, 10.0, 5.0)
_OF_EACH_OTHER = 2


def people(parts: Path, part: str, least: int, most: int) -> dict[str, list[SaidClip]]:
    """Return the recordings of single words of each person who has at least ``least``, the first ``most``."""
    found: dict[str, list[SaidClip]] = defaultdict(list)
    for clip, audio in read_clips(parts, f"{part}-human"):
        if clip.source in _SOURCES and " " not in clip.text:
            found[clip.speaker].append((clip.text, audio))
    return {who: clips[:most] for who, clips in sorted(found.items()) if len(clips) >= least}


@dataclass(slots=True)
class Person:
    """What the profile of one person brings: the outcomes of what that person and others say, without it and with it.

    They come in the order of the recordings, each at all levels; those of others are empty while no profile is used.
    """

    who: str
    tried: TriedVoice
    before: list[HeardAs]
    after: list[HeardAs]
    others_before: list[HeardAs]
    others_after: list[HeardAs]

    @property
    def line(self) -> str:
        """For the table."""
        without, with_it = self.tried.without, self.tried.with_it
        told = f"{self.who}: held back {without.right} -> {with_it.right} of {with_it.of}, "
        told += f"surer by {self.tried.surer:.1f} errors, {'used' if self.tried.helps else 'not used'}; "
        told += f"other half {_told(self.before, self.after)}"
        return f"{told}; others {_told(self.others_before, self.others_after)}" if self.tried.helps else told


def _told(before: Sequence[HeardAs], after: Sequence[HeardAs]) -> str:
    b, a = Counter(before), Counter(after)
    right, wrong = HeardAs.RIGHT, HeardAs.WRONG
    return f"{b[right]} -> {a[right]} right, {b[wrong]} -> {a[wrong]} wrong of {len(before)}"


class Measured:
    """The people of one part, and how they are heard."""

    def __init__(self, parts: Path, part: str, clips: dict[str, list[SaidClip]], model: Path) -> None:
        noise_part = "test-noise" if part == "test" else "train-noise"
        self._noises = [audio for _, audio in read_clips(parts, noise_part) if len(audio) > 8000 and audio.std() > 1]
        words = sorted({text for said in clips.values() for text, _ in said})
        self._learner = VoiceLearner(model, Grammar(tuple(dict.fromkeys((*phrases_for(()).phrases, *words)))))
        self.halves: dict[str, tuple[list[SaidClip], list[SaidClip]]] = {}
        for who, said in clips.items():
            order = np.random.default_rng(5).permutation(len(said))
            half = len(said) // 2
            self.halves[who] = ([said[n] for n in order[:half]], [said[n] for n in order[half:]])
        self._beside: dict[str, list[tuple[str, Samples]]] = {}
        self._beside_before: dict[str, list[HeardAs]] = {}

    def person(self, who: str) -> Person:
        """Return how that person is heard without and with what half of the recordings teach; nothing of others."""
        enrolled, rest = self.halves[who]
        tried = self._learner.tried(enrolled)
        sounds = list(self._at_levels(rest))
        usual, fitted = self._learner.usual, self._learner.recogniser(tried.change)
        return Person(who, tried, self._outcomes(usual, sounds), self._outcomes(fitted, sounds), [], [])

    def hear_others(self, person: Person) -> None:
        """Note how two words of everybody else are heard without this person's profile and with it."""
        if not self._beside:
            for who, (_, rest) in self.halves.items():
                self._beside[who] = list(self._at_levels(rest[:_OF_EACH_OTHER]))
                self._beside_before[who] = self._outcomes(self._learner.usual, self._beside[who])
        fitted = self._learner.recogniser(person.tried.change)
        for who, sounds in self._beside.items():
            if who != person.who:
                person.others_before += self._beside_before[who]
                person.others_after += self._outcomes(fitted, sounds)

    def _at_levels(self, clips: Iterable[SaidClip]) -> Iterable[tuple[str, Samples]]:
        random = np.random.default_rng(2)
        for text, audio in clips:
            for level in _LEVELS:
                noise = self._noises[int(random.integers(len(self._noises)))] if level is not None else None
                yield text, mixed(audio, noise, level, random)

    def _outcomes(self, recogniser: VoskRecogniser, sounds: Iterable[tuple[str, Samples]]) -> list[HeardAs]:
        return [self._learner.outcome(recogniser, text, sound) for text, sound in sounds]


def _as_kept(person: Person) -> dict[str, Any]:
    change = person.tried.change
    return {
        "who": person.who,
        "factor": change.factor.tolist(),
        "offset": change.offset.tolist(),
        "held": [[one.text, one.without, one.with_it, one.surer] for one in person.tried.held_back],
        "own": [person.before, person.after],
        "others": [person.others_before, person.others_after],
    }


def _from_kept(kept: dict[str, Any]) -> Person:
    def outcomes(told: Iterable[str]) -> list[HeardAs]:
        return [HeardAs(one) for one in told]

    held = [HeldBack(text, tuple(outcomes(without)), tuple(outcomes(with_it)), tuple(surer))
            for text, without, with_it, surer in kept["held"]]  # fmt: skip
    tried = TriedVoice(VoiceChange(np.array(kept["factor"]), np.array(kept["offset"])), held)
    counted = [outcomes(told) for key in ("own", "others") for told in kept[key]]
    return Person(kept["who"], tried, *counted)


def measured_person(measured: Measured, who: str, kept: Path | None) -> Person:
    """Return the person, as kept in the folder ``kept`` or measured now."""
    path = kept / f"{who}.json" if kept is not None else None
    is_kept = path is not None and path.exists()
    person = _from_kept(json.loads(path.read_text("utf-8"))) if path and is_kept else measured.person(who)
    if person.tried.helps and not person.others_after:
        measured.hear_others(person)
        is_kept = False
    if path and not is_kept:
        path.write_text(json.dumps(_as_kept(person)), "utf-8")
    return person


def main() -> None:
    """Measure, and print a line for each person and the sums."""
    options = argparse.ArgumentParser()
    options.add_argument("parts", type=Path)
    options.add_argument("part", choices=("dev", "test"))
    options.add_argument("--model", type=Path, default=OWN_MODEL)
    options.add_argument("--least", type=int, default=16)
    options.add_argument("--most", type=int, default=40)
    options.add_argument("--kept", type=Path)
    given = options.parse_args()
    kept = given.kept and given.kept / f"{given.part}-{given.most}-{hash_of_net(given.model)[:12]}"
    if kept:
        kept.mkdir(parents=True, exist_ok=True)
    clips = people(given.parts, given.part, given.least, given.most)
    measured = Measured(given.parts, given.part, clips, given.model)
    found = []
    for who in clips:
        found.append(measured_person(measured, who, kept))
        print(found[-1].line, flush=True)
    used = [one for one in found if one.tried.helps]
    _print_gains("with a profile", used)
    _print_gains("without, had they one all the same", [one for one in found if not one.tried.helps])
    for called, before, after in (
        ("those with a profile", [one.before for one in used], [one.after for one in used]),
        ("others while it is on", [one.others_before for one in used], [one.others_after for one in used]),
    ):
        for n, level in enumerate(_LEVELS):
            told = ([heard for one in outcomes for heard in one[n :: len(_LEVELS)]] for outcomes in (before, after))
            print(f"{called}, {'quiet' if level is None else f'{level:g} dB'}: {_told(*told)}")
        print(
            f"{called}, all: {_told(*([heard for one in outcomes for heard in one] for outcomes in (before, after)))}"
        )


def _print_gains(called: str, those: list[Person]) -> None:
    gained = [one.after.count(HeardAs.RIGHT) - one.before.count(HeardAs.RIGHT) for one in those]
    print(f"{len(those)} people {called}: {sum(n > 0 for n in gained)} heard better, "
          f"{sum(n == 0 for n in gained)} as before, {sum(n < 0 for n in gained)} worse")  # fmt: skip


if __name__ == "__main__":
    main()
