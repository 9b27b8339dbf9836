"""Speaking over the assistant: how often its own voice is taken for a person, and how soon a person is noticed.

``python -m tests.bench.over_echo [--hours H] [--words N] [--parts FOLDER] [--part dev|test]``. The own voice speaks the
demo jobs into rooms from their physics; then words are said over it, at levels at which the echo lies 6 dB under, as
high, and 6 dB over them. FOLDER holds the parts of the recipe (``models/recipe``): knobs are chosen with its ``dev``
people, ``test`` people only measure; without one, voices of flite say the words. A word is right when it is heard as
itself, as sure as a critical phrase must be.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path as FilePath

import numpy as np

from assistant.bay.engines import choose_recogniser
from assistant.events import Clarity, Grammar
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS
from assistant.settings import Settings
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.ports import RATE, Samples
from assistant.voice.speaking.rendering import Renderer, breath_groups
from models.recipe.blocks import read_clips
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
VOLUME = 10 ** (Settings().volume / 20)


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


def alone(hours: float) -> str:
    """Speak for so many hours of own voice, nobody else; return what was taken for a person or a command."""
    voice, recogniser = own_voice(), choose_recogniser(Settings())
    spoken, persons, commands, lost = 0.0, 0, 0, 0
    for number, room in enumerate(ROOMS):
        bay = EchoBay(room, recogniser)
        bay.listener.set_grammar(everything())
        own = 0.0
        while own < hours * 3600 / len(ROOMS):
            sentence = next(voice)
            bay.say(sentence)
            own += sentence.size / RATE
            bay.pass_(30, stop=lambda bay=bay: not bay.is_sounding())
        bay.pass_(1)
        phrases = [heard for heard in bay.heard if heard.clarity is Clarity.PHRASE]
        spoken, persons, commands, lost = (
            spoken + own, persons + len(bay.hushed), commands + len(phrases), lost + len(bay.lost),
        )  # fmt: skip
        print(f"room {number + 1}: {own / 60:.0f} min, persons {len(bay.hushed)}, phrases {phrases}", flush=True)
    return f"{spoken / 3600:.2f} h of own voice: {persons} times a person, {commands} phrases, way lost {lost} times"


def words_of(parts: FilePath | None, part: str, count: int) -> list[tuple[str, Samples]]:
    """Return ``count`` short words, each with its label, by people of one ``part`` of the recipe, dev or test."""
    if parts is None:
        people = [Person("flite", voice) for voice in ("rms", "slt", "awb", "kal")]
        return [(word, person.say(word)) for person in people for word in WORDS][:count]
    said = [
        (clip.text, samples)
        for clip, samples in read_clips(parts, f"{part}-human")
        if clip.source == SET and clip.text in WORDS
    ]
    return [said[number] for number in np.random.default_rng(5).permutation(len(said))[:count]]


def over(words: list[tuple[str, Samples]], echo_over_db: float) -> str:
    """Say ``words`` over the own voice, whose echo lies so much above them [dB]; return what came of it."""
    voice, recogniser = own_voice(), choose_recogniser(Settings())
    limit, silent_ms, outcomes = recogniser.limits.critical, [], Counter()
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
        begins = int(np.flatnonzero(np.abs(word) > 0.1 * np.abs(word).max())[0])
        bay.speak(word[max(0, begins - RATE // 5) :])
        begun = bay.now + min(begins, RATE // 5) / RATE
        bay.pass_(2.5)
        if bay.hushed:
            silent_ms.append(1000 * (bay.hushed[-1] + CARD_S - begun))
        outcomes[_outcome(bay, label, limit)] += 1
    soon = sum(one <= 250 for one in silent_ms)
    spread = f"{np.median(silent_ms):.0f} / {np.percentile(silent_ms, 95):.0f} ms" if silent_ms else "-"
    return (
        f"echo {echo_over_db:+.0f} dB: silent {len(silent_ms)} of {len(words)}, within 250 ms {soon}, "
        f"median / 95 % {spread}; {dict(outcomes)}"
    )


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
    parser.add_argument("--words", type=int, default=60)
    parser.add_argument("--parts", type=FilePath)
    parser.add_argument("--part", choices=("dev", "test"), default="dev")
    options = parser.parse_args()
    print(alone(options.hours), flush=True)
    for level in (-6.0, 0.0, 6.0):
        print(over(words_of(options.parts, options.part, options.words), level), flush=True)
