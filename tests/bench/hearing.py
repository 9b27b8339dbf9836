"""Measures hearing: every phrase in every synthetic voice, through the listener and the real recogniser.

``python -m tests.bench.hearing`` prints per voice how many phrases are heard, heard wrongly, and how often chatter is
taken for a phrase; then the phrases that fail most. ``--noise FOLDER`` adds recordings without a phrase
(hammers, radio). A phrase counts as heard when its confidence reaches the recogniser's limit for what moves the job.
"""

from __future__ import annotations

import argparse
import platform
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from assistant.events import Clarity, Grammar, Heard, Slot
from assistant.fastening.numbers import parse_number_words
from assistant.session.commands import INTENTS
from assistant.voice.listener import Listener
from assistant.voice.model_files import OWN_MODEL
from assistant.voice.ports import RATE, Recogniser, Samples
from assistant.voice.vad_door import SileroDetector
from assistant.voice.vosk_door import VoskRecogniser
from assistant.voice.wav import WavMicrophone
from tests.voice.people import CHATTER, PEOPLE, Person, at_ratio, blocks, in_room, silence

WHOLE = (
    "three",
    "eight",
    "twelve",
    "sixteen",
    "thirty",
    "thirteen",
    "one six",
    "forty two",
    "twenty one",
    "zero",
    "ninety",
)
DECIMAL = (
    "thirty five point five",
    "eighty",
    "one hundred and twenty",
    "eighteen",
    "one two point five",
    "fifty",
    "fifteen",
    "sixty two",
    "nine point eight",
    "two hundred",
    "zero point four",
)
LEAD_S, TAIL_S = 0.6, 0.7


def everything() -> Grammar:
    """Return a grammar of all phrases at once, harder than any state of a job."""
    return Grammar(
        tuple(phrase for intent in INTENTS if intent.slot is None for phrase in intent.phrases),
        tuple(Slot(phrase, intent.slot) for intent in INTENTS if intent.slot for phrase in intent.phrases),
    )


def spoken() -> list[str]:
    """Return every phrase as it is said, those with a number with several numbers."""
    texts: list[str] = []
    for intent in INTENTS:
        numbers = {None: ("",), "whole": WHOLE, "decimal": DECIMAL}[intent.slot]
        texts += [f"{phrase} {number}".strip() for phrase in intent.phrases for number in numbers]
    return texts


def meaning(text: str) -> object:
    """Return the intent and the number of a phrase; two phrases of one meaning are no mistake for each other."""
    for intent in INTENTS:
        for phrase in sorted(intent.phrases, key=len, reverse=True):
            if intent.slot is None and text == phrase:
                return intent.name
            if intent.slot is not None and text.startswith(phrase + " "):
                return intent.name, parse_number_words(text[len(phrase) + 1 :])
    return text


def _head(meant: object) -> object:
    return meant[:1] if isinstance(meant, tuple) else None


@dataclass
class Score:
    """What one voice came to."""

    said: int = 0
    heard: int = 0
    wrong: int = 0
    misnumbered: int = 0
    """Of the wrong: the right phrase with a wrong number (thirty for thirteen), which is read back before it counts."""
    chatter: int = 0
    taken: int = 0
    waits: list[float] = field(default_factory=list)
    missed: Counter[str] = field(default_factory=Counter)


class Ear:
    """A listener that is played one sound at a time; it keeps what it learnt of the voice and the room."""

    def __init__(self, recogniser: Recogniser, grammar: Grammar, detector: SileroDetector) -> None:
        self._got: list[tuple[float, Heard]] = []
        self._now = 0.0
        self._listener = Listener(recogniser, lambda heard: self._got.append((self._now, heard)), detector=detector)
        self._listener.set_grammar(grammar)

    def play(self, samples: Samples) -> list[tuple[float, Heard]]:
        """Return what was heard, each with the time at which it was known."""
        self._got = []
        for block in blocks(samples, self._now):
            self._now = block.ended_at
            self._listener.push(block)
        self._listener.flush()
        return self._got

    @property
    def now(self) -> float:
        """The time of the last block [s]."""
        return self._now


def measure(recogniser: Recogniser, person: Person, ratio_db: float | None, every: int) -> Score:
    """Let ``person`` say everything, in a quiet room or ``ratio_db`` above noise."""
    limit = recogniser.limits.moving
    ear = Ear(recogniser, everything(), SileroDetector())
    score = Score()
    lines = [(text, False) for text in spoken()] + [(text, True) for text in CHATTER]
    order = np.random.default_rng(7).permutation(len(lines))[::every]
    for at, number in enumerate(order):
        text, is_chatter = lines[number]
        speech = person.say(text)
        floor = -58.0 if ratio_db is None else at_ratio(speech, ratio_db)
        began = ear.now
        got = ear.play(in_room(silence(LEAD_S), speech, silence(TAIL_S), floor_db=floor, seed=at))
        phrases = [(t, h) for t, h in got if h.clarity is Clarity.PHRASE and h.confidence >= limit]
        if is_chatter:
            score.chatter += 1
            score.taken += bool(phrases)
            continue
        score.said += 1
        right = [t for t, heard in phrases if meaning(heard.text) == meaning(text)]
        score.heard += bool(right)
        mistakes = [h for _, h in phrases if meaning(h.text) != meaning(text)]
        score.wrong += bool(mistakes)
        said = meaning(text)
        score.misnumbered += any(isinstance(said, tuple) and said[:1] == _head(meaning(h.text)) for h in mistakes)
        if right:
            score.waits.append(right[0] - began - LEAD_S - speech.size / RATE)
        else:
            score.missed[text] += 1
    return score


def noises(recogniser: Recogniser, folder: Path) -> tuple[int, float, list[str]]:
    """Play every recording of ``folder``; return how many, their length [s], and the phrases heard in them."""
    heard: list[str] = []
    count, seconds = 0, 0.0
    for path in sorted(p for p in folder.rglob("*") if p.suffix in {".wav", ".flac", ".opus", ".ogg"}):
        ear = Ear(recogniser, everything(), SileroDetector())
        microphone = WavMicrophone(path)
        pieces = []
        while (block := microphone.read()) is not None:
            pieces.append(block.samples)
        count, seconds = count + 1, seconds + microphone.seconds
        got = ear.play(in_room(silence(LEAD_S), *pieces, silence(TAIL_S)))
        heard += [h.text for _, h in got if h.clarity is Clarity.PHRASE and h.confidence >= recogniser.limits.moving]
    return count, seconds, heard


def main() -> None:
    """Print the tables."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument(
        "--model", type=Path, default=OWN_MODEL, help="a Vosk model directory (without it: the assistant's own)"
    )
    ask.add_argument("--people", default="", help="only voices with this in their name")
    ask.add_argument("--every", type=int, default=1, help="take every n-th line only")
    ask.add_argument("--ratio", type=float, default=20.0, help="level of speech over noise in the second run [dB]")
    ask.add_argument("--noise", type=Path, help="a folder of recordings that hold no phrase")
    given = ask.parse_args()
    print(f"{platform.machine()}, Python {platform.python_version()}")
    missed: Counter[str] = Counter()
    total, runs = Score(), 0
    row = "{:<22} {:>9} {:>11} {:>7} {:>6} {:>9} {:>9} {:>11} {:>8}"
    print(row.format("voice", "room", "heard", "", "wrong", "of those", "chatter", "end->heard", "CPU"))
    print(row.format("", "", "", "", "", "numbers", "taken", "median", "of time"))
    for person in (p for p in PEOPLE if p.is_here and given.people in p.name):
        for ratio in (None, given.ratio):
            recogniser = VoskRecogniser(given.model)
            for text in spoken()[:: given.every]:
                person.say(text)
            began = time.process_time()
            score = measure(recogniser, person, ratio, given.every)
            spent = time.process_time() - began
            length = (score.said + score.chatter) * (LEAD_S + TAIL_S + 1.0)
            wait = f"{1000 * float(np.median(score.waits)):.0f} ms" if score.waits else "-"
            room = "quiet" if ratio is None else f"{ratio:.0f} dB"
            print(
                row.format(
                    person.name,
                    room,
                    f"{score.heard}/{score.said}",
                    f"{score.heard / score.said:.0%}",
                    score.wrong,
                    score.misnumbered,
                    f"{score.taken}/{score.chatter}",
                    wait,
                    f"{spent / length:.0%}",
                ),
                flush=True,
            )
            missed.update(score.missed)
            runs += 1
            for name in ("said", "heard", "wrong", "of those", "chatter", "taken"):
                setattr(total, name, getattr(total, name) + getattr(score, name))
    print(f"All: {total.heard / total.said:.1%} heard, {total.wrong / total.said:.1%} wrong, "
          f"{total.taken / total.chatter:.1%} of chatter taken.")  # fmt: skip
    print("Missed most: " + ", ".join(f"{text} ({n}/{runs})" for text, n in missed.most_common(25)))
    if given.noise:
        recogniser = VoskRecogniser(given.model)
        count, seconds, heard = noises(recogniser, given.noise)
        print(f"{given.noise}: {count} recordings, {seconds / 60:.1f} min, {len(heard)} phrases: {Counter(heard)}")


if __name__ == "__main__":
    main()
