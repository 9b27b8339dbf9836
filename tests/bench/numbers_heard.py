"""How numbers are heard: ``python -m tests.bench.numbers_heard PARTS [--model FOLDER] [--split dev]``.

``PARTS`` are those of the model's recipe. Numbers that people say when they count, and digits of people, are set
behind "count" in a synthetic voice, with all phrases open. Synthetic voices say whole numbers behind their phrases,
with all numbers open. All lie in quiet and in noise.

It prints what was right, taken for another number, or asked again, and the table ``MEASURED`` of
``assistant/language/en/heard_alike.py``. That is chosen on ``dev`` alone, by people, and again for each new model.
"""

from __future__ import annotations

import argparse
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path

import numpy as np

from assistant.events import Clarity, Grammar, Slot, SlotKind
from assistant.hearing.score import as_meant
from assistant.language.en import ENGLISH
from assistant.language.en.numbers import DIGITS, TEENS, TENS
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import OWN_MODEL
from models.recipe.blocks import RATE, Audio, read_clips
from models.recipe.lexicon import number_slots
from models.recipe.measure import everything, mix
from tests.voice.people import Person

WORDS = (*DIGITS, *TEENS, *TENS)
PEOPLE = ("gsc_9words", "gsc_more_people", "gsc_small", "coswara_parts")
CARRIER = Person("flite", "rms", 1.0)
"""Says "count" before what a person says."""
SNRS = (99, 10, 5, 0)
LEAST_DB = 10
"""A pair counts when it was heard at this SNR [dB] or better: in more noise two hearings must agree, and readings are
read back in any case."""
LEAST_SHARE, LEAST_PEOPLE = 0.02, 2
"""A pair is in the table when so many of the recordings of a word were taken for the other, and of so many people."""
_FED = RATE // 5
_BEFORE_S, _AFTER_S, _GAP_S = 0.3, 0.5, 0.06
PEOPLE_TEST, SYNTHETIC = "people, behind count", "synthetic voices, behind phrases"


@dataclass(frozen=True, slots=True)
class Said:
    """One number that was said by ``who``, and what it was taken for ("" for nothing), with the confidence."""

    test: str
    who: str
    truth: str
    snr: int
    heard: str
    confidence: float


def behind_count(word: Audio, carrier: Audio) -> Audio:
    """Return "count" and ``word``, as loud as one another, with a short gap."""
    level = float(np.sqrt((word.astype(np.float64) ** 2).mean())) + 1e-9
    own = float(np.sqrt((carrier.astype(np.float64) ** 2).mean())) + 1e-9
    before = np.clip(carrier * (level / own), -32_000, 32_000)
    return np.concatenate([before, np.zeros(round(_GAP_S * RATE)), _trimmed(word)]).astype(np.int16)


def _trimmed(word: Audio) -> Audio:
    loud = np.flatnonzero(np.abs(word.astype(np.int32)) > 0.03 * np.abs(word.astype(np.int32)).max())
    margin = round(0.05 * RATE)
    return word[max(0, loud[0] - margin) : loud[-1] + margin] if loud.size else word


def hear(model: Path, parts: Path, split: str, most: int, seed: int = 7) -> Iterator[Said]:
    """Yield how each number of ``split`` is heard with ``model``, ``most`` of synthetic voices, at each SNR."""
    rng = np.random.default_rng(seed)
    noise_part = "test-noise" if split == "test" else "train-noise"
    noises = [audio for _, audio in read_clips(parts, noise_part) if len(audio) > RATE // 2]
    loaded = VoskRecogniser(ENGLISH, model)
    behind, phrases = loaded.fresh(), loaded.fresh()
    behind.set_grammar(Grammar(everything(with_numbers=False).phrases, (Slot.of("count", SlotKind.WHOLE),)))
    phrases.set_grammar(everything(with_numbers=True))
    carrier = CARRIER.say("count")
    trials = [
        (PEOPLE_TEST, clip.speaker, f"count {clip.text}", behind_count(audio, carrier), behind)
        for clip, audio in read_clips(parts, f"{split}-human")
        if clip.source in PEOPLE and clip.text in WORDS
    ]
    slots = number_slots()
    told = [
        (SYNTHETIC, clip.speaker, clip.text, audio, phrases)
        for clip, audio in read_clips(parts, f"{split}-synthetic")
        if clip.source == "synthetic-number" and any(slot.before and slot.inside(clip.text) for slot in slots)
    ]
    for test, who, text, audio, ear in [*trials, *told[:most]]:
        for snr in SNRS:
            samples = mix(audio, noises[int(rng.integers(len(noises)))], snr, rng)
            ear.start()
            for start in range(0, samples.size, _FED):
                ear.feed(samples[start : start + _FED])
            heard = ear.finish(0.0, samples.size / RATE - _BEFORE_S - _AFTER_S)
            yield Said(test, who, text, snr, heard.text if heard.clarity is Clarity.PHRASE else "", heard.confidence)


def shares(found: Iterable[Said], limit: float) -> Iterator[str]:
    """Yield a line for each test and SNR: right, another number accepted, asked again [%]."""
    groups: dict[tuple[str, int], list[str]] = defaultdict(list)
    for one in found:
        groups[one.test, one.snr].append(_became(one, limit))
    for (test, snr), became in sorted(groups.items(), key=lambda item: (item[0][0], -item[0][1])):
        counted, n = Counter(became), len(became)
        told = ", ".join(f"{name} {100 * counted[name] / n:.1f} %" for name in ("right", "another", "asked again"))
        yield f"{test}, {'quiet' if snr >= 90 else f'{snr} dB'} (n {n}): {told}"


def _became(one: Said, limit: float) -> str:
    if not one.heard or one.confidence < limit:
        return "asked again"
    return "right" if as_meant(one.heard) == as_meant(one.truth) else "another"


@dataclass(slots=True)
class Pair:
    """Two words that were taken for one another: in which share of the recordings of one, how, and of whom."""

    share: float = 0.0
    how: Counter[str] = field(default_factory=Counter)
    people: set[str] = field(default_factory=set)


def pairs(found: Iterable[Said], limit: float) -> dict[tuple[str, ...], Pair]:
    """Return the words that were taken for one another, the likeliest first."""
    said: Counter[tuple[str, str]] = Counter()
    taken: dict[tuple[str, str, str], list[str]] = defaultdict(list)
    for one in found:
        if one.snr < LEAST_DB:
            continue
        meant, heard = one.truth.split(), one.heard.split()
        said.update((one.test, word) for word in set(meant) & set(WORDS))
        wrong = [(a, b) for a, b in zip_longest(meant, heard, fillvalue="") if a != b]
        if _became(one, limit) == "another" and len(wrong) == 1 and set(wrong[0]) <= set(WORDS):
            taken[one.test, *wrong[0]].append(one.who)
    table: dict[tuple[str, ...], Pair] = defaultdict(Pair)
    for (test, meant_word, heard_word), who in taken.items():
        pair = table[tuple(sorted((meant_word, heard_word), key=WORDS.index))]
        pair.share = max(pair.share, len(who) / said[test, meant_word])
        pair.how[f"{test}: {meant_word} as {heard_word}"] += len(who)
        pair.people.update(who if test == PEOPLE_TEST else ())
    return dict(sorted(table.items(), key=lambda item: -item[1].share))


def told(found: Sequence[Said], limit: float) -> Iterator[str]:
    """Yield the shares, every pair, and the table as it stands in ``assistant/language/en/heard_alike.py``."""
    yield from shares(found, limit)
    table = pairs(found, limit)
    for words, pair in table.items():
        how = ", ".join(f"{a} {n}" for a, n in pair.how.items())
        yield f"{' and '.join(words)}: {100 * pair.share:.1f} %, {len(pair.people)} people ({how})"
    chosen = [w for w, pair in table.items() if pair.share >= LEAST_SHARE and len(pair.people) >= LEAST_PEOPLE]
    yield "MEASURED = ("
    yield from (f'    ("{one}", "{other}"),' for one, other in sorted(chosen, key=lambda w: [*map(WORDS.index, w)]))
    yield ")"


def main() -> None:
    """Measure, and print."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench.numbers_heard", description=__doc__)
    parser.add_argument("parts", type=Path)
    parser.add_argument("--model", type=Path, default=OWN_MODEL)
    parser.add_argument("--split", choices=["dev", "test"], default="dev")
    parser.add_argument("--most", type=int, default=200, help="whole numbers by synthetic voices at most")
    options = parser.parse_args()
    limit = VoskRecogniser(ENGLISH, options.model).limits.moving
    for line in told(list(hear(options.model, options.parts, options.split, options.most)), limit):
        print(line)


if __name__ == "__main__":
    main()
