"""How units behind a number are heard, and what has no unit: ``python -m tests.bench.units_heard``.

Five synthetic voices (flite, espeak-ng, festival) say readings and amounts of an invented engine in inches to the
shipped model, in the grammar of the job at that place; quiet, and with white noise. They stand for no people, and the
model was partly trained with such voices. *right* is the value with enough confidence, *asked* the value without, so
that it is asked for again, *missed* not understood, and *another* another value or phrase with enough confidence.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.events import Clarity, Command
from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_text
from assistant.session.intents import BY_NAME
from assistant.session.understanding import accepted, command_of
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.ports import RATE
from tests.session.bench import Bench
from tests.voice.people import Person, blocks, in_room, silence

PROCEDURE = Path(__file__).parents[1] / "typed/procedures/inch-engine.yaml"
PEOPLE = (
    Person("flite", "rms"), Person("flite", "slt"), Person("flite", "awb"), Person("espeak-ng", "en-gb"),
    Person("festival"),
)  # fmt: skip
NOISES: Sequence[float | None] = (None, 10.0)
"""Signal to noise [dB]; None is quiet."""


@dataclass(frozen=True, slots=True)
class Said:
    """What is said at a place of the job, to which the words ``before`` lead; ``{}`` is where the number stands."""

    what: str
    form: str
    numbers: tuple[str, ...]
    before: tuple[str, ...]
    unit: str = "US gal"
    """In which the oil is filled in."""


_TABLE = ("eight", "nine point five", "ten", "eleven", "twelve")
_TORQUES = ("twenty nine", "thirty one", "thirty two", "thirty three")
_AMOUNTS = ("one point two", "one point two five", "two", "four point five")
_TO_TABLE = ("next",) * 4
_READ_OFF = (*_TO_TABLE, "ten", "sixteen", "ten", "sixteen", "reading four point five", "reading twelve point five")
_TO_BOLTS = (*_READ_OFF, "next", "next", "bolt by bolt")
_TO_OIL = (*_READ_OFF, *("next",) * 6)
_LENGTHS = ("thousandths", "thousandth", "thousandths of an inch", "thou")
_VOLUMES = (("gallons", "US gal"), ("quarts", "US qt"), ("pints", "US pt"), ("ounces", "US fl oz"))
SAYINGS = (
    Said("a number alone", "{}", _TABLE, _TO_TABLE),
    *(Said(unit, f"{{}} {unit}", _TABLE, _TO_TABLE) for unit in _LENGTHS),
    Said("a reading of a torque alone", "reading {}", _TORQUES, _TO_BOLTS),
    *(Said(unit, f"reading {{}} {unit}", _TORQUES, _TO_BOLTS) for unit in ("pound feet", "foot pounds")),
    *(
        Said(f"{way} and {unit or 'no unit'}", f"{way} {{}} {unit}".strip(), _AMOUNTS, _TO_OIL, key)
        for way in ("filled", "i filled in")
        for unit, key in (("", "US gal"), *_VOLUMES)
    ),
    *(Said(one, one, ("",), _TO_TABLE) for one in ("when is the job over", "how much longer", "when are we done")),
)


def opened(said: Said) -> Bench:
    """Return the job at the place of ``said``, filled in the unit that is meant there."""
    text = PROCEDURE.read_text("utf-8").replace("1.25 US gal, limits: 1.20 to 1.30 US gal", f"1.25 {said.unit}")
    bench = Bench(read_text(text.encode(), PROCEDURE.name).usable)
    bench.hears(*said.before)
    return bench


def heard(recogniser: VoskRecogniser, bench: Bench, words: str, person: Person, noise_db: float | None) -> str:
    """Return what came of ``words``: right, asked, missed or another."""
    here = bench.session._here(bench.now)
    names = accepted(here)

    def meant(text: str) -> Command | None:
        return command_of(text, names, ENGLISH, here)

    wanted = meant(words)
    assert wanted is not None, words
    spoken = person.say(words)
    sound = in_room(silence(0.24), spoken, silence(0.2))
    if noise_db is not None:
        level = np.sqrt(np.mean(spoken.astype(float) ** 2)) / 10 ** (noise_db / 20)
        hiss = np.random.default_rng(3).standard_normal(sound.size) * level
        sound = np.clip(sound + hiss, -32_768, 32_767).astype(np.int16)
    recogniser.start()
    for block in blocks(sound):
        recogniser.feed(block.samples)
    found = recogniser.finish(-spoken.size / RATE, 0.0)
    got = meant(found.text) if found.clarity is Clarity.PHRASE else None
    if got is None:
        return "missed"
    sure = found.confidence >= recogniser.limits.of(BY_NAME[got.intent].weight)
    if got != wanted:
        return "another" if sure else "missed"
    return "right" if sure else "asked"


def lines() -> Iterator[str]:
    """Measure, and yield a line for each saying and noise."""
    recogniser = VoskRecogniser(ENGLISH, OWN_MODEL)
    people = [person for person in PEOPLE if person.is_here]
    for said in SAYINGS:
        bench = opened(said)
        recogniser.set_grammar(bench.session.grammar())
        for noise_db in NOISES:
            found = Counter(
                heard(recogniser, bench, said.form.format(number), person, noise_db)
                for number in said.numbers
                for person in people
            )
            told = ", ".join(f"{found[one]} {one}" for one in ("right", "asked", "missed", "another"))
            yield f"{said.what}, {'quiet' if noise_db is None else f'{noise_db:.0f} dB'}, of {found.total()}: {told}"


if __name__ == "__main__":
    for line in lines():
        print(line, flush=True)
