"""Speaking over the assistant: how often its own voice is taken for a person, and how soon a person is noticed.

``python -m tests.bench.over_echo [--hours H] [--first ROOM] [--words N] [--parts FOLDER] [--part dev|test]``. The own
voice speaks the demo jobs into rooms from their physics; then words are said over it, at levels at which the echo lies
6 dB under, as high, and 6 dB over them. FOLDER holds the parts of the recipe (``models/recipe``): knobs are chosen with
its ``dev`` people, ``test`` people only measure; without one, voices of flite say the words. A word is right when it is
heard as itself, as sure as a critical phrase must be.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import count, cycle
from pathlib import Path as FilePath

import numpy as np

from assistant.bay.engines import choose_recogniser
from assistant.events import Clarity, Grammar
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.settings import Settings
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.ports import BLOCK, RATE, Samples
from assistant.voice.speaking.rendering import Renderer, breath_groups
from models.recipe.blocks import read_clips
from tests.bench.figures import Figure, Tell, spread
from tests.bench.words import said_in
from tests.jobs import DEMOS
from tests.voice.echo_bay import CARD_S, EchoBay, Path
from tests.voice.people import Person

ROOMS = (
    Path(0.02, -12.0), Path(0.06, -6.0), Path(0.10, 0.0, drive=1.5, noise_db=-55.0), Path(0.15, 3.0, 0.5, drive=3.0),
    Path(0.25, -3.0, 0.6, 3.0, 1.5, -50.0), Path(0.20, -20.0, noise_db=-45.0),
)  # fmt: skip
WORDS = ("yes", "no")
SET = "gsc_more_people"
_IN_A_ROOM_S = 300.0
SOON_MS = 250
VOLUME = 10 ** (Settings().volume / 20)


def figures(tell: Tell) -> list[Figure]:
    """Return the figures of ``make bench``: a short part of what the module measures when it is called by itself."""
    found = alone(0.1, tell)
    said = over(words_of(None, "dev", 8), 0.0)
    return [
        Figure(
            "Own voice taken for a person", found.persons, "times", 1, f"in {found.own_s / 60:.0f} min of own voice"
        ),
        Figure("Own voice taken for a phrase", len(found.taken), "times", 1, ", ".join(found.taken)),
        *spread("Synthetic word over an echo as loud -> silence", said.silent_ms, "ms", SOON_MS, None),
        Figure("Such words that were not noticed", said.of - len(said.silent_ms), "words", None, f"of {said.of}"),
    ]


def own_voice() -> Iterator[Samples]:
    """Return all sentences of all demo jobs, again and again."""
    renderer = Renderer(Pyttsx3Synthesiser(), RATE)
    texts = [part for demo in DEMOS for text in said_in(demo) for part in breath_groups(text)]
    spoken = [(renderer.render(text, Settings().rate) * VOLUME).astype(np.int16) for text in texts]
    return cycle(spoken)


def everything() -> Grammar:
    """Return all phrases without numbers and names."""
    return Grammar(
        tuple(phrase for intent in INTENTS if intent.slot is None for phrase in LANGUAGE.phrases.phrases(intent.name))
    )


@dataclass(slots=True)
class Alone:
    """What came of the own voice alone, so far."""

    own_s: float = 0.0
    persons: int = 0
    lost: int = 0
    taken: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.own_s / 3600:.2f} h of own voice: {self.persons} times a person, "
            f"{len(self.taken)} phrases {self.taken}, way lost {self.lost} times"
        )


def alone(hours: float, tell: Tell, first: int = 1) -> Alone:
    """Speak for so many hours of own voice, nobody else, each five minutes in another room.

    A run that was broken off goes on with the ``first`` room that it did not have: its hours and this one's add up.
    """
    voice, recogniser, found = own_voice(), choose_recogniser(Settings(), print), Alone()
    for turn in count(first):
        if found.own_s >= hours * 3600:
            return found
        room = replace(ROOMS[turn % len(ROOMS)], seed=turn)
        bay = EchoBay(room, recogniser)
        bay.listener.set_grammar(everything())
        own = 0.0
        while own < min(_IN_A_ROOM_S, hours * 3600):
            sentence = next(voice)
            bay.say(sentence)
            own += sentence.size / RATE
            bay.pass_(30, stop=lambda bay=bay: not bay.is_sounding())
        bay.pass_(1)
        phrases = [heard.text for heard in bay.heard if heard.clarity is Clarity.PHRASE]
        found.own_s += own
        found.persons += len(bay.hushed)
        found.lost += len(bay.lost)
        found.taken += phrases
        tell(str(found))
    raise AssertionError("count ends never")


def words_of(parts: FilePath | None, part: str, number: int) -> list[tuple[str, Samples]]:
    """Return ``number`` short words, each with its label, by people of one ``part`` of the recipe, dev or test."""
    if parts is None:
        people = [Person("flite", voice) for voice in ("rms", "slt", "awb", "kal")]
        return [(word, person.say(word)) for person in people for word in WORDS][:number]
    said = [
        (clip.text, samples)
        for clip, samples in read_clips(parts, f"{part}-human")
        if clip.source == SET and clip.text in WORDS
    ]
    return [said[one] for one in np.random.default_rng(5).permutation(len(said))[:number]]


@dataclass(slots=True)
class Over:
    """What came of words over the own voice: after how long it was silent [ms], and how the words were heard."""

    of: int
    silent_ms: list[float] = field(default_factory=list)
    outcomes: Counter[str] = field(default_factory=Counter)

    @property
    def soon(self) -> int:
        """How many times it was silent in time."""
        return sum(one <= SOON_MS for one in self.silent_ms)

    def __str__(self) -> str:
        ms = self.silent_ms or [float("nan")]
        spread = f"{np.median(ms):.0f} / {np.percentile(ms, 95):.0f} ms"
        return (
            f"silent {len(self.silent_ms)} of {self.of}, within {SOON_MS} ms {self.soon}, median / 95 % {spread}; "
            f"{dict(self.outcomes)}"
        )


def over(words: list[tuple[str, Samples]], echo_over_db: float) -> Over:
    """Say ``words`` over the own voice, whose echo lies so much above them [dB]; return what came of it."""
    voice, recogniser = own_voice(), choose_recogniser(Settings(), print)
    limit, found = recogniser.limits.critical, Over(len(words))
    for number, (label, samples) in enumerate(words):
        bay = EchoBay(Path(0.12, -6.0, drive=1.2, seed=number), recogniser)
        bay.listener.set_grammar(everything())
        echo = []
        while sum(map(len, echo)) < 14 * RATE:
            echo.append(next(voice))
            bay.say(echo[-1])
        bay.pass_(7)
        loud = _loud(np.concatenate(echo) * 10 ** (bay.path.gain_db / 20))
        word = samples * np.sqrt(loud / _loud(samples)) * 10 ** (-echo_over_db / 20)
        begins = begin_of(word)
        bay.speak(word[max(0, begins - RATE // 5) :])
        begun = bay.now + min(begins, RATE // 5) / RATE
        bay.pass_(2.5)
        if bay.hushed:
            found.silent_ms.append(1000 * (bay.hushed[-1] + CARD_S - begun))
        found.outcomes[_outcome(bay, label, limit)] += 1
    return found


def begin_of(word: np.ndarray) -> int:
    """Return the sample with which ``word``, shape (n,), begins: its power comes near its peak (20 dB), for 60 ms.

    A click before it, or the breath of its recording, is no word.
    """
    sound = word[: word.size // BLOCK * BLOCK].astype(float)
    power = np.mean(sound.reshape(-1, BLOCK) ** 2, axis=1)
    near = power > power.max() / 100
    lasting = near[:-2] & near[1:-1] & near[2:]
    first = int(np.flatnonzero(lasting)[0]) * BLOCK if lasting.any() else 0
    loud = np.abs(sound[first : first + BLOCK])
    return first + int(np.flatnonzero(loud > 0.1 * loud.max())[0])


def _outcome(bay: EchoBay, label: str, limit: float) -> str:
    heard = next(iter(bay.heard), None)
    if heard is None:
        return "nothing"
    if heard.clarity is not Clarity.PHRASE or heard.confidence < limit:
        return "asked Yes?"
    return "right" if heard.text == label else f"wrong: {heard.text}"


def _loud(samples: np.ndarray) -> float:
    sound = samples.astype(float)
    return float(np.mean(sound[np.abs(sound) > 0.1 * np.abs(sound).max()] ** 2))


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=0.1)
    parser.add_argument("--first", type=int, default=1, help="the room to begin with: each five minutes are another")
    parser.add_argument("--words", type=int, default=60)
    parser.add_argument("--parts", type=FilePath)
    parser.add_argument("--part", choices=("dev", "test"), default="dev")
    options = parser.parse_args()
    if options.hours:
        print(alone(options.hours, lambda text: print(text, flush=True), options.first))
    for level in (-6.0, 0.0, 6.0) if options.words else ():
        said = words_of(options.parts, options.part, options.words)
        print(f"echo {level:+.0f} dB: {over(said, level)}", flush=True)
