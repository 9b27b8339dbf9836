"""How surely *confirmed* is heard beside machines, and which words are taken for it: a critical phrase costs most.

``python -m tests.bench.confirm_heard [--model FOLDER]``: voices that training did not hear say the phrases and words
near them in the state of a hazard, in quiet and beside machines at 10 and 5 dB. The words of ``recipe/words/near.txt``
were chosen by this; run it again for another net. Synthetic voices never stand for people.
"""

from __future__ import annotations

import argparse
from collections import Counter
from dataclasses import replace
from itertools import product
from pathlib import Path

import numpy as np

from assistant.events import Clarity
from assistant.hearing.mixing import mixed
from assistant.language.chosen import LANGUAGE
from assistant.terminal.tables import table
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.ports import RATE, Samples
from tests.bench.noisy_talk import made_noise
from tests.session.grammars import grammar_at
from tests.voice.people import Person

SAID = LANGUAGE.phrases.phrases("confirmed")
SNRS = (None, 10.0, 5.0)
VOICES = (
    Person("espeak-ng", "en-us+f4", 1.1), Person("espeak-ng", "en-gb+m7"), Person("espeak-ng", "en-us+Andrea", 1.15),
    Person("espeak-ng", "en-gb+linda", 1.1), Person("espeak-ng", "en-us+quincy", 1.1), Person("flite", "kal16"),
)  # fmt: skip
"""Those by which the recipe chooses (``dev``)."""
NEAR = (
    "conform", "confer", "confers", "conferred", "conformed", "inform", "informed", "affirm", "affirmed", "infirm",
    "confirms", "confirming", "comfort", "perform", "firm", "uniform", "concerned", "confused", "confined",
    "converted", "a firm", "can form", "come from", "come for me", "in a form",
)  # fmt: skip


def taken(recogniser: VoskRecogniser, word: str, noises: list[Samples], snr: float | None) -> list[bool]:
    """Return whether ``word`` was taken for *confirmed*, as surely as it must be, by each voice beside each noise."""
    found = []
    for voice, beside in product(VOICES, noises):
        sound = mixed(voice.say(word), beside, snr, np.random.default_rng(3))
        recogniser.start()
        for at in range(0, sound.size, RATE // 5):
            recogniser.feed(sound[at : at + RATE // 5])
        heard = recogniser.finish(0.0, 1.0)
        is_it = heard.clarity is Clarity.PHRASE and heard.text in SAID
        found.append(is_it and heard.confidence >= recogniser.limits.critical)
    return found


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--model", type=Path, default=OWN_MODEL, help="a Vosk model directory (without it: our own)")
    recogniser = VoskRecogniser(LANGUAGE, ask.parse_args().model)
    recogniser.set_grammar(replace(grammar_at("hazard"), expected=SAID))
    made = [np.rint(9000 * one / np.abs(one).max()).astype(np.int16) for one in made_noise(10.0).values()]
    lines, wrong = [], Counter[str]()
    for word in SAID:
        each = [taken(recogniser, word, made if snr else made[:1], snr) for snr in SNRS]
        lines.append((word, *(f"{sum(one)} of {len(one)}" for one in each)))
    cells = []
    for snr in SNRS:
        each = [taken(recogniser, word, [made[place % len(made)]], snr) for place, word in enumerate(NEAR)]
        wrong.update({word: sum(one) for word, one in zip(NEAR, each, strict=True)})
        cells.append(f"{sum(map(sum, each))} of {sum(map(len, each))}")
    print(table(("", "quiet", "10 dB", "5 dB"), [*lines, ("words near it", *cells)]))
    print("taken for it:", ", ".join(f"{word} ({times})" for word, times in wrong.items() if times) or "nothing")


if __name__ == "__main__":
    main()
