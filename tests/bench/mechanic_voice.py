"""The voice of a simulated mechanic, near a headset or a metre from a bench microphone, and the machines beside it.

Words are spoken by a synthetic voice that training did not hear (:data:`tests.bench.hearing_data.UNHEARD`); where
recordings of people who are in no training part are given, those words are people's: each *yes* and *no* another
person's, so that no single one decides a talk, and the number behind *count* of whoever said it, joined from two
recordings.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile

from assistant.hearing.mixing import rms
from assistant.voice.ports import BLOCK, RATE, Samples
from models.recipe.parting import part_of
from models.recipe.people import BEFORE, SETS, alone, joined, whole_numbers
from tests.bench.hearing_data import UNHEARD
from tests.voice.people import Person

Floats = npt.NDArray[np.float64]
FAR_DB = 12.0
"""So much weaker is a voice at one metre than at a headset's microphone, some four centimetres from the mouth with its
gain turned down [dB]; it matters in the quiet alone, since noise is set by its distance below the voice. Ours."""
VOICE_RMS = 3000.0
"""Root mean square of words at the headset [of 32768], over what is louder than a twentieth of their peak.

Over whole words it is 0.6 to 2.6 dB less: noise is that much louder here than where it is set by whole words.
"""
FLOOR_DB = -58.0
"""What a quiet bay hisses with [dBFS, root mean square]."""
RESPONSE_SAMPLES = 8000
_LASTING_S = 0.6
_PERSON_WORDS = ("yes", "no")
_APART = 3
"""So many recordings of a number one mechanic has, the next one others."""
_QUIET_SHARE = 0.05
_PACES = (1.0, 0.94, 1.06)


def one_metre(random: np.random.Generator) -> Floats:
    """Return the response of a bay at one metre, shape (8000,), made as the model's recipe makes those of training.

    The sound dies away by 60 dB in 0.6 s, high notes sooner, and all echoes together are as strong as the direct sound:
    in a bay of 160 cubic metres that is so at 0.93 m (0.057 times the root of volume by time; Kuttruff, from memory).
    """
    t = np.arange(RESPONSE_SAMPLES) / RATE
    decay = np.exp(-6.9 * t / _LASTING_S)
    tail = random.standard_normal(RESPONSE_SAMPLES) * decay
    low = np.convolve(tail, np.ones(5) / 5, mode="same")
    tail = low + (tail - low) * np.exp(-6.9 * t / (0.5 * _LASTING_S)) / np.maximum(decay, 1e-6)
    echoes = (random.random(RESPONSE_SAMPLES) < 0.004) * random.standard_normal(RESPONSE_SAMPLES)
    response = tail * 0.3 + echoes * np.exp(-6.9 * t / 0.05) * 3
    response[:16] = 0
    response /= np.sqrt(np.sum(response**2))
    response[0] = 1.0
    return np.asarray(response)


def own_words(shared: Path, split: str = "test") -> list[tuple[str, dict[str, list[Samples]]]]:
    """Return people of one part of the model's recipe ("dev" or "test") with recordings of *yes* and of *no*.

    Each has recordings of each number as well, by some of the people of that part who said it, the next one by others.
    ``shared`` holds ``manifest.tsv`` as the recipe takes it.
    """
    people: dict[str, dict[str, list[Samples]]] = {}
    numbers: dict[str, list[Samples]] = {}
    with (shared / "manifest.tsv").open(encoding="utf-8", newline="") as opened:
        for row in csv.DictReader(opened, delimiter="\t", quoting=csv.QUOTE_NONE):
            word = row["label"]
            if part_of(row["set"], row["speaker"]) != f"{split}-human" or row["set"] not in SETS:
                continue
            if word in _PERSON_WORDS:
                if not is_cut_off(clip := _samples(shared / row["path"])):
                    people.setdefault(row["speaker"], {}).setdefault(word, []).append(clip)
            elif word in whole_numbers():
                numbers.setdefault(word, []).append(_samples(shared / row["path"]))
    whole = [(name, said) for name, said in sorted(people.items()) if len(said) == len(_PERSON_WORDS)]
    for turn, (_, said) in enumerate(whole):
        said.update({word: _turned(clips, turn * _APART)[:_APART] for word, clips in numbers.items()})
    return whole


def is_cut_off(clip: Samples) -> bool:
    """Return whether ``clip``, shape (n,), ends where its word begins: its last 20 ms are the loudest, by 3 dB."""
    blocks = clip[: clip.size // BLOCK * BLOCK].astype(np.float64).reshape(-1, BLOCK)
    powers = np.mean(blocks**2, axis=1)
    return bool(powers[-1] > 2 * powers[:-1].max())


def _samples(path: Path) -> Samples:
    samples, _ = soundfile.read(path, dtype="int16")
    return np.asarray(samples)


def _turned(clips: list[Samples], by: int) -> list[Samples]:
    return [*clips[by % len(clips) :], *clips[: by % len(clips)]]


@dataclass
class Voice:
    """Whoever speaks: ``people`` are ways of a synthetic voice, ``own`` words of people; ``far``: one metre away.

    What is said again is said otherwise: in the next way, by the next recording of the same person, or a little slower
    or faster. A word that is said anew is said by the next of those people.
    """

    people: Sequence[Person]
    own: Sequence[Mapping[str, Sequence[Samples]]] = ()
    far: bool = False
    random: np.random.Generator = field(default_factory=lambda: np.random.default_rng(1))

    def __post_init__(self) -> None:
        """Stand in one place of the bay for all of the talk."""
        self._response = one_metre(self.random) if self.far else None
        self._turn = -1

    @property
    def level(self) -> float:
        """Root mean square of its words at the microphone [of 32768]."""
        return VOICE_RMS * (10 ** (-FAR_DB / 20) if self.far else 1.0)

    def say(self, words: str, again: int = 0) -> Floats:
        """Return ``words`` as the microphone has them without noise, shape (n,), as loud as :attr:`level`.

        ``again`` is how often they were said before in vain.
        """
        sound = alone(self._clip(words, again).astype(np.float64))
        if self._response is not None:
            sound = np.convolve(sound, self._response)
        loud = sound[np.abs(sound) > _QUIET_SHARE * np.abs(sound).max()]
        return np.asarray(sound * self.level / max(rms(loud), 1e-3))

    def _clip(self, words: str, again: int) -> Floats:
        number = words.removeprefix(f"{BEFORE} ")
        if number in _PERSON_WORDS and again == 0:
            self._turn += 1
        recorded = self.own[max(self._turn, 0) % len(self.own)].get(number) if self.own else None
        spoken = self.people[again % len(self.people)]
        if not recorded:
            return spoken.say(words).astype(np.float64)
        if number != words:
            return joined(spoken.say(BEFORE), recorded[again % len(recorded)]).astype(np.float64)
        clip = recorded[again % len(recorded)].astype(np.float64)
        pace = _PACES[again // len(recorded) % len(_PACES)]
        return np.asarray(np.interp(np.arange(0, clip.size - 1, pace), np.arange(clip.size), clip))


def voices(people: Path | None, talks: int, *, far: bool, split: str = "test") -> Iterator[Voice]:
    """Yield so many voices: synthetic ones that training did not hear, each with words that begin at another person."""
    own = [said for _, said in own_words(people, split)] if people is not None else []
    for number in range(talks):
        first = number % len(UNHEARD)
        at = number * _APART % max(1, len(own))
        turned = [*own[at:], *own[:at]]
        yield Voice([*UNHEARD[first:], *UNHEARD[:first]], turned, far, np.random.default_rng(number))


class Machines:
    """The noise of the bay, block by block and without an end; ``snr_db`` below a voice of ``level``, None: quiet."""

    def __init__(self, noise: Floats, level: float, snr_db: float | None, random: np.random.Generator) -> None:
        """Play ``noise``, shape (n,), again and again from anywhere."""
        steady = noise - noise.mean()
        self._noise = (
            np.zeros(BLOCK) if snr_db is None else steady * level * 10 ** (-snr_db / 20) / max(rms(steady), 1e-9)
        )
        self._at = int(random.integers(self._noise.size))
        self._random = random

    def block(self) -> Floats:
        """Return the next 20 ms, shape (320,)."""
        beside = self._noise.take(range(self._at, self._at + BLOCK), mode="wrap")
        self._at = (self._at + BLOCK) % self._noise.size
        hiss = self._random.standard_normal(BLOCK) * 32_768 * 10 ** (FLOOR_DB / 20)
        return np.asarray(beside + hiss)
