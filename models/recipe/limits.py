"""Chooses on ``dev`` how surely each phrase must be heard, from the curve of the people who say it.

Whoever says a phrase to a machine shows what its limit must be; where nobody does, that of its kind stays. All phrases
are open, as in no state of a job, so what is chosen is on the strict side. Near words stay only where they pay: one
that is heard more often for a phrase that was said than for another word goes, a word that is taken for a phrase comes.
"""

from __future__ import annotations

import functools
import json
import zlib
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from assistant.events import Grammar, PhraseLimits, Thresholds, Weight
from assistant.hearing.score import as_meant
from assistant.language.en import ENGLISH
from assistant.language.en.phrases import phrases
from assistant.session.deciding import decide  # noqa: F401 (every state enters its table)
from assistant.session.intents import INTENTS
from assistant.session.table import row_of
from assistant.voice.adapters.vosk import LEAST_CONFIDENCE, VoskRecogniser
from assistant.voice.listening.limits import LIMITS_FILE, USUAL_LIMITS, hash_of_net, limits_text, read_limits
from assistant.voice.listening.model_files import NEAR_WORDS, read_near_words
from assistant.voice.listening.n_best import Candidate, Chosen, choose, likelier
from models.recipe.blocks import RATE, Audio, read_clips
from models.recipe.lexicon import command_phrases, command_words, near_words
from models.recipe.measure import AFTER_S, BEFORE_S, QUIET, everything, mix
from models.recipe.people import SETS
from models.recipe.respell import write_checksums

SNRS = (QUIET, 10, 5, 0)
MOST_WRONG: Mapping[int, float] = {QUIET: 0.01, 10: 0.01, 5: 0.02, 0: 0.03}
"""At most such a share of other words may be taken for a phrase, by SNR [dB]; one phrase gets half of that."""
LEAST_PEOPLE, LEAST_CLIPS = 10, 30
"""So many must say a phrase on ``dev`` before its limits are chosen from them. Ours: fewer show one voice's ways."""
_TIMES = (1.0, 2.0, 4.0, 8.0, 16.0)
"""No more: nobody on ``dev`` says the words that sound like these phrases, and they are taken for them as well."""
_GRID = tuple(round(LEAST_CONFIDENCE + 0.05 * step, 2) for step in range(14))
_LOST = 0.005
"""A stricter limit is taken as long as it costs no more than this share of what was said."""
_COSTS, _PAYS = 2, 4
"""So often a near word must be heard for what was said until it goes; so often a word is taken until it comes."""
_FED = RATE // 5


@dataclass(frozen=True, slots=True)
class Heard:
    """What people said (``truth``) at an SNR [dB], and every way to hear it, with whether somebody may say that."""

    truth: str
    snr: int
    ways: tuple[tuple[Candidate, bool], ...]

    def taken(self, times: Mapping[str, float]) -> Chosen:
        """Return what it is taken for, with some phrases so many times likelier; "" for what is no phrase."""
        sayable = {way.text for way, may in self.ways if may}
        chosen = choose(likelier([way for way, _ in self.ways], times), sayable.__contains__)
        return chosen if chosen.text in _phrases() else Chosen("", chosen.confidence)


@functools.cache
def _phrases() -> frozenset[str]:
    return frozenset(everything(with_numbers=False).phrases)


def spoken(parts: Path, most: int) -> dict[str, list[tuple[str, Audio]]]:
    """Return what people of ``dev`` say alone, as speaker and sound: every phrase, and ``most`` other words by lot."""
    said, others = dict[str, list[tuple[str, Audio]]](), list[tuple[str, str, Audio]]()
    known = set(command_phrases())
    for clip, audio in read_clips(parts, "dev-human"):
        if clip.source not in SETS or not clip.text or " " in clip.text:
            continue
        if clip.text in known:
            said.setdefault(clip.text, []).append((clip.speaker, audio))
        else:
            others.append((clip.text, clip.speaker, audio))
    for number in np.random.default_rng(5).permutation(len(others))[:most]:
        text, speaker, audio = others[int(number)]
        said.setdefault(text, []).append((speaker, audio))
    return said


def listen(model: Path, parts: Path, said: Mapping[str, Sequence[tuple[str, Audio]]], state: str = "") -> list[Heard]:
    """Return every way to hear what was ``said`` at each SNR, in a ``state`` of a job or with all phrases open."""
    noises = [audio for _, audio in read_clips(parts, "train-noise") if len(audio) > RATE // 2]
    ear = VoskRecogniser(ENGLISH, model)
    ear.set_grammar(_in_state(state) if state else everything(with_numbers=False))
    found = []
    for text, clips in said.items():
        for speaker, audio in clips:
            for snr in SNRS:
                rng = np.random.default_rng(zlib.crc32(f"{text} {speaker} {len(audio)} {snr}".encode()))
                samples = mix(audio, noises[int(rng.integers(len(noises)))], snr, rng)
                ear.start()
                for start in range(0, samples.size, _FED):
                    ear.feed(samples[start : start + _FED])
                ear.finish(0.0, samples.size / RATE - BEFORE_S - AFTER_S)
                found.append(Heard(text, snr, tuple((way, ear.may_be_said(way.text)) for way in ear.ways)))
    return found


def _in_state(state: str) -> Grammar:
    """Return the phrases of a ``state`` of the table, without those that hold a number or a name."""
    names = [intent.name for intent in INTENTS if intent.slot is None and intent.name in row_of(state).acts]
    return Grammar(tuple(phrase for name in names for phrase in phrases(name)))


def tell_state(
    model: Path, parts: Path, most: int, state: str, expected: Sequence[str], tell: Callable[[str], None] = print
) -> None:
    """Tell how ``model``, with its limits, hears people in a ``state`` of a job in which some phrases are expected."""
    heard, limits = listen(model, parts, spoken(parts, most), state), read_limits(model)
    times = {phrase: limits.times(phrase) for phrase in expected}
    for phrase in sorted({one.truth for one in heard} & set(expected)):
        limit = limits.of(_weights()[phrase], phrase, expected=True)
        asked = right(heard, phrase, times, limits.asked_from(phrase))
        tell(f"{state}: {phrase}: right {_told(right(heard, phrase, times, limit))}, or asked back {_told(asked)}")
    shares = {snr: _taken(heard, snr, expected, limits) for snr in SNRS}
    tell(f"{state}: a wrong phrase, or another word taken for one: {_told(shares)}")


def right(heard: Sequence[Heard], phrase: str, times: Mapping[str, float], limit: float) -> dict[int, float]:
    """Return the share of ``phrase`` that is taken for it with at least ``limit``, by SNR."""
    return {snr: _share(heard, snr, phrase, times, limit, said=True) for snr in SNRS}


def wrong(heard: Sequence[Heard], phrase: str, times: Mapping[str, float], limit: float) -> dict[int, float]:
    """Return the share of everything else that is taken for ``phrase``, by SNR."""
    return {snr: _share(heard, snr, phrase, times, limit, said=False) for snr in SNRS}


def _share(
    heard: Sequence[Heard], snr: int, phrase: str, times: Mapping[str, float], limit: float, *, said: bool
) -> float:
    some = [one.taken(times) for one in heard if one.snr == snr and (one.truth == phrase) == said]
    return sum(one.text == phrase and one.confidence >= limit for one in some) / max(1, len(some))


def choose_phrase(heard: Sequence[Heard], phrase: str) -> PhraseLimits:
    """Return the limits of ``phrase``: those with which most of it is heard and few other words are taken for it."""
    _, believed = _best(heard, phrase, (1.0,), 0.5)
    times, expected = _best(heard, phrase, _TIMES, 0.5)
    asked = next(one for one in _GRID if one >= expected or _is_few(heard, phrase, {phrase: times}, one, 1.0))
    return PhraseLimits(believed, expected, asked, times)


def raised(heard: Sequence[Heard], own: Sequence[str], limits: Thresholds) -> dict[str, PhraseLimits]:
    """Return limits for phrases, none of ``own``, that other words are taken for too often: as high as that needs.

    Nobody says them on ``dev``, so what they lose is not known from people; no limit is above the last of the grid.
    """
    found = {}
    weights = _weights()
    for phrase in sorted({one.taken({}).text for one in heard} - {"", *own}):
        kind = limits.of(weights[phrase])
        above = [limit for limit in _GRID if limit > kind]
        if not _is_few(heard, phrase, {}, kind, 0.5) and above and weights[phrase] is not Weight.CRITICAL:
            limit = next((one for one in above if _is_few(heard, phrase, {}, one, 0.5)), above[-1])
            found[phrase] = PhraseLimits(limit, limit, limits.asked)
    return found


def _best(heard: Sequence[Heard], phrase: str, likely: Sequence[float], share: float) -> tuple[float, float]:
    """Return how many times likelier a phrase is taken to be, and the limit: as strict as costs nothing."""
    found = []
    for times in likely:
        for limit in _GRID:
            if _is_few(heard, phrase, {phrase: times}, limit, share):
                heard_right = sum(right(heard, phrase, {phrase: times}, limit).values()) / len(SNRS)
                found.append((heard_right, times, limit))
    if not found:
        return 1.0, _GRID[-1]
    enough = max(share for share, _, _ in found) - _LOST
    good = [(times, limit) for share, times, limit in found if share >= enough]
    least = min(times for times, _ in good)
    return least, max(limit for times, limit in good if times == least)


def _is_few(heard: Sequence[Heard], phrase: str, times: Mapping[str, float], limit: float, share: float) -> bool:
    taken = wrong(heard, phrase, times, limit)
    return all(taken[snr] < share * MOST_WRONG[snr] for snr in SNRS)


def near_words_that_pay(heard: Sequence[Heard], near: Sequence[str]) -> tuple[str, ...]:
    """Return the words of ``near`` that keep out more than they cost, and those that are taken for a phrase."""
    best = [(one.truth, one.ways[0][0].text) for one in heard if one.ways]
    ours = _phrases()
    cost = Counter(word for truth, word in best if truth in ours and word in near and near_words(truth, [word]))
    gain = Counter(word for truth, word in best if truth not in ours)
    goes = {word for word in near if cost[word] >= _COSTS and cost[word] > gain[word]}
    taken = Counter(one.truth for one in heard if one.truth not in ours and one.taken({}).text)
    comes = {word for word, count in taken.items() if count >= _PAYS} - command_words()
    return tuple(sorted((set(near) | comes) - goes))


def choose_limits(
    model: Path, parts: Path, most: int, *, write: bool, tell: Callable[[str], None] = print
) -> Thresholds:
    """Choose near words and limits for ``model``, tell the curves, and ``write`` both beside its net if wanted.

    What is written begins with all near words again, so that the same comes of it any time.
    """
    if write:
        _put(model, near_words_before(model))
    said = spoken(parts, most)
    before = listen(model, parts, said)
    own = [
        text
        for text, clips in said.items()
        if text in _phrases() and len(clips) >= LEAST_CLIPS and len({one for one, _ in clips}) >= LEAST_PEOPLE
    ]
    usual = replace(USUAL_LIMITS, phrases={})
    for line in _table("before", before, own, usual):
        tell(line)
    near = read_near_words(model)
    paying = near_words_that_pay(before, near)
    goes, comes = sorted(set(near) - set(paying)), sorted(set(paying) - set(near))
    tell(f"near words that go: {' '.join(goes)}")
    tell(f"near words that come: {' '.join(comes)}")
    heard = before
    if write and paying != near:
        _put(model, paying)
        heard = listen(model, parts, said)
    limits = replace(usual, phrases={text: choose_phrase(heard, text) for text in own} | raised(heard, own, usual))
    for line in _table("after", heard, own, limits):
        tell(line)
    for text, one in limits.phrases.items():
        if text not in own:
            tell(f"raised, since other words are taken for it: {text}: {one.believed}")
    tell(f"said by fewer than {LEAST_PEOPLE} people, so with the limit of its kind: every phrase but {', '.join(own)}")
    if write:
        text = limits_text(limits, hash_of_net(model), near_words_gone=goes, near_words_come=comes)
        (model / LIMITS_FILE).write_text(text, "utf-8")
        write_checksums(model)
    return limits


def near_words_before(model: Path) -> tuple[str, ...]:
    """Return the near words of ``model`` as they were before any were chosen."""
    path = model / LIMITS_FILE
    chosen = json.loads(path.read_text("utf-8")) if path.is_file() else {}
    near = {*read_near_words(model), *chosen.get("near_words_gone", ())} - {*chosen.get("near_words_come", ())}
    return tuple(sorted(near))


def _put(model: Path, near: Sequence[str]) -> None:
    """Write the near words of ``model``, without limits that were chosen beside others."""
    (model / NEAR_WORDS).write_text("".join(f"{word}\n" for word in near), "utf-8")
    (model / LIMITS_FILE).unlink(missing_ok=True)
    write_checksums(model)


def _table(name: str, heard: Sequence[Heard], own: Sequence[str], limits: Thresholds) -> Iterator[str]:
    """Yield a line for each phrase, not expected and expected, and for what is taken wrongly with all phrases open."""
    for phrase in own:
        one = limits.phrases.get(phrase, PhraseLimits(limits.moving, limits.moving, limits.asked))
        times = {phrase: one.likelier}
        yield f"{name}: {phrase}: {one}"
        for state, prior, limit in (("not expected", {}, one.believed), ("expected", times, one.expected)):
            shares = (right(heard, phrase, prior, limit), wrong(heard, phrase, prior, limit))
            yield f"  {state}: right {_told(shares[0])}, others taken for it {_told(shares[1])}"
        yield f"  expected, heard or asked back: right {_told(right(heard, phrase, times, one.asked))}"
    for expected in ((), tuple(own)):
        shares = {snr: _taken(heard, snr, expected, limits) for snr in SNRS}
        state = f"{' and '.join(expected)} expected" if expected else "nothing expected"
        yield f"{name}: a wrong phrase, or another word taken for one, {state}: {_told(shares)}"


def _taken(heard: Sequence[Heard], snr: int, expected: Sequence[str], limits: Thresholds) -> float:
    """Return the share of what was said that is believed to be another phrase, or one where it was none."""
    times = {phrase: limits.times(phrase) for phrase in expected}
    some = [(one.truth, one.taken(times)) for one in heard if one.snr == snr]
    weights = _weights()
    believed = (
        (truth, way.text)
        for truth, way in some
        if way.text and way.confidence >= limits.of(weights[way.text], way.text, expected=way.text in expected)
    )
    return sum(as_meant(truth) != as_meant(text) for truth, text in believed) / max(1, len(some))


@functools.cache
def _weights() -> Mapping[str, Weight]:
    """Return what each whole phrase weighs."""
    return {phrase: intent.weight for intent in INTENTS if intent.slot is None for phrase in phrases(intent.name)}


def _told(shares: Mapping[int, float]) -> str:
    """Write shares [%] from quiet to loud."""
    return " / ".join(f"{100 * shares[snr]:.1f}" for snr in SNRS)
