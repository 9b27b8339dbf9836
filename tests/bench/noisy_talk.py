"""A whole talk beside machines: ``python -m tests.bench.noisy_talk [--data FOLDER]``, or ``--only talk`` of the bench.

The recorded short job (``audio_fixtures/coolant-pump-cover.flac``, 42 utterances) is mixed with noise and fed, block by
block, to the listener as the microphone feeds it, with the phrases of a whole job open. FOLDER holds ``noise.tsv``, a
list as ``assistant test-hearing`` takes it: recordings of the same ``speaker`` (the machine) are played one after
another. Without it the noise is made from the physics of machines. The level of the speech is the root mean square of
its words, that of the noise of all of it. The delay is that of the sound: from the last sound of a word in the quiet
recording until it is known. With ``running.tsv`` in FOLDER, running speech is fed as well, and what is taken of it is
counted.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile
import yaml

from assistant.events import NUMBERS, SURE_READING, Clarity, Grammar, Heard, Slot, Thresholds, Weight
from assistant.hearing.manifest import read_manifest
from assistant.hearing.measuring import phrases_for
from assistant.hearing.score import as_meant
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import INTENTS, Intent
from assistant.terminal.tables import table
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.adapters.wav import read_recording
from assistant.voice.listening.listener import Listener
from assistant.voice.ports import BLOCK, RATE, Block, Samples
from tests.bench.figures import Figure, Tell, load, machine
from tests.bench.sound_times import OVER_DB, STEP_S, levels_db
from tests.voice.noises import MACHINES

TALK = Path(__file__).parents[2] / "audio_fixtures" / "coolant-pump-cover"
SNRS = (10.0, 5.0, 0.0)
LATE_S = 0.3
"""What begins so long after a word's last sound still counts as that word: times are estimates in noise [s]."""
_PAUSE_S = 0.5
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Said:
    """One utterance of the talk: what, and its first and last sound [s from the beginning]."""

    text: str
    began: float
    ended: float


@dataclass(frozen=True, slots=True)
class Count:
    """What became of a talk: utterances heard right, not understood, not noticed, and taken for something wrong.

    Of the wrong ones the job reads some back before they count (``asked``), and some only ask for an answer
    (``questions``); what is left would be done.
    """

    right: int
    unclear: int
    unnoticed: int
    wrong: tuple[str, ...]
    asked: tuple[str, ...]
    questions: tuple[str, ...]
    bothered: int
    """How often it said that it had not understood where nobody had spoken."""
    delays_s: tuple[float, ...]
    """From the last sound of a word until it was known [s]."""


def talk() -> tuple[Samples, list[Said]]:
    """Return the quiet recording, 16 kHz, shape (n,), and what is said in it."""
    samples, _ = soundfile.read(TALK.with_suffix(".flac"), dtype="int16")
    written = yaml.safe_load(TALK.with_suffix(".talk.yaml").read_text("utf-8"))["lines"]
    texts = [line for line in written if isinstance(line, str)]
    levels = levels_db(samples, RATE)
    loud = np.flatnonzero(levels > np.median(levels[: round(0.2 / STEP_S)]) + OVER_DB)
    groups = np.split(loud, np.flatnonzero(np.diff(loud) > _PAUSE_S / STEP_S) + 1)
    return samples, [
        Said(text, float(group[0]) * STEP_S, float(group[-1] + 1) * STEP_S)
        for text, group in zip(texts, groups, strict=True)
    ]


def beside(samples: Samples, said: Sequence[Said], noise: Floats, snr_db: float) -> Samples:
    """Return ``samples`` with ``noise``, both shape (n,), so far below the words; quieter where it would clip."""
    speech = samples.astype(np.float64)
    words = np.concatenate([speech[round(one.began * RATE) : round(one.ended * RATE)] for one in said])
    noise = noise - noise.mean()
    scale = np.sqrt(np.mean(words**2) / np.mean(noise**2)) * 10 ** (-snr_db / 20)
    both = speech + scale * np.resize(noise, speech.size)
    return np.rint(both * min(1.0, 32_000 / np.abs(both).max())).astype(np.int16)


def made_noise(seconds: float) -> dict[str, Floats]:
    """Return a noise of each kind of machine, 16 kHz, shape (n,)."""
    return {name: make(seconds, np.random.default_rng(1)) for name, make in MACHINES.items()}


def recorded_noise(listed: Path, seconds: float) -> dict[str, Floats]:
    """Return the recordings of the list, those of one machine one after another for ``seconds``."""
    found: dict[str, list[Floats]] = {}
    for one in read_manifest(listed, ["path", "speaker"]):
        pieces = found.setdefault(one.speaker, [])
        if sum(piece.size for piece in pieces) < seconds * RATE:
            pieces.append(read_recording(one.path).astype(np.float64))
    return {name: np.concatenate(pieces) for name, pieces in found.items()}


def all_phrases() -> Grammar:
    """Return every phrase of the assistant at once, and the numbers after their phrases: harder than any state."""
    return phrases_for(["count four"])


def of_a_job(said: Iterable[Said]) -> Grammar:
    """Return the phrases of the talk and some thirty others of a job, and the numbers after their phrases."""
    slots = tuple(
        Slot.of(phrase, intent.slot)
        for intent in INTENTS
        if intent.slot in NUMBERS and intent.name in ("count", "reading")
        for phrase in LANGUAGE.phrases.phrases(intent.name)
    )
    plain = {one.text for one in said if not any(slot.inside(one.text) for slot in slots)}
    others = [
        phrase for intent in INTENTS if intent.slot is None for phrase in LANGUAGE.phrases.phrases(intent.name)[:1]
    ]
    return Grammar((*sorted(plain), *[one for one in others if one not in plain][: 35 - len(plain)]), slots)


def hear(
    loaded: VoskRecogniser, samples: Samples, grammar: Grammar, limits: Thresholds
) -> list[tuple[float, Heard, bool]]:
    """Return all that the listener heard of ``samples``, when it was known [s], and whether it counts."""
    recogniser = loaded.fresh()
    now, found = 0.0, []

    def on_heard(heard: Heard) -> None:
        intent = _intent(heard) if heard.clarity is Clarity.PHRASE else None
        counts = heard.clarity is Clarity.PHRASE and heard.confidence >= (
            limits.of(intent.weight) if intent else limits.moving
        )
        found.append((now, heard, counts))

    listener = Listener(recogniser, on_heard, headset=True)
    listener.set_grammar(grammar)
    for at in range(0, samples.size - BLOCK + 1, BLOCK):
        now = (at + BLOCK) / RATE
        listener.push(Block(samples[at : at + BLOCK], now))
    listener.flush()
    return found


def _intent(heard: Heard) -> Intent | None:
    meant = as_meant(heard.text)
    return next((one for one in INTENTS if meant is not None and one.name == meant[0]), None)


def _sort(wrong: Sequence[tuple[Heard, Said | None]]) -> tuple[list[str], list[str], list[str]]:
    """Return what would be done, what the job reads back before, and what only asks, of all that was taken wrongly.

    A count that is not the expected one is read back, and so is a reading that was not heard surely.
    """
    done, asked, questions = list[str](), list[str](), list[str]()
    for heard, one in wrong:
        intent = _intent(heard)
        name = intent.name if intent else ""
        counted = name == "count" and one is not None and one.text.startswith("count ")
        unsure = name == "reading" and heard.confidence < SURE_READING
        where = asked if counted or unsure else questions if intent and intent.weight is Weight.HARMLESS else done
        where.append(heard.text if one is None else f"{heard.text} for {one.text}")
    return done, asked, questions


def counted(said: Sequence[Said], heard: Sequence[tuple[float, Heard, bool]]) -> Count:
    """Return what became of each of ``said``."""
    left = list(heard)
    right, unclear, unnoticed = 0, 0, 0
    wrong = list[tuple[Heard, Said | None]]()
    delays = list[float]()
    for one in said:
        here = [two for two in left if two[1].started_at < one.ended + LATE_S and two[1].ended_at > one.began]
        left = [two for two in left if two not in here]
        hit = next((two for two in here if two[2] and two[1].text == one.text), None)
        wrong += [(two[1], one) for two in here if two[2] and two is not hit]
        if hit is not None:
            right += 1
            delays.append(hit[0] - one.ended)
        elif here:
            unclear += 1
        else:
            unnoticed += 1
    wrong += [(two[1], None) for two in left if two[2]]
    bothered = sum(not two[2] and two[1].clarity in (Clarity.UNCLEAR, Clarity.PHRASE) for two in left)
    return Count(right, unclear, unnoticed, *map(tuple, _sort(wrong)), bothered, tuple(delays))


def measure(
    noises: Mapping[str, Floats], tell: Tell, grammar: Callable[[Sequence[Said]], Grammar] = of_a_job
) -> dict[str, Count]:
    """Return what became of the talk in quiet and in each noise at each of ``SNRS``."""
    samples, said = talk()
    loaded = VoskRecogniser(LANGUAGE)
    phrases = grammar(said)
    tell("the talk in quiet")
    found = {"quiet": counted(said, hear(loaded, samples, phrases, loaded.limits))}
    for name, noise in noises.items():
        for snr in SNRS:
            tell(f"the talk beside {name} at {snr:g} dB")
            mixed = beside(samples, said, noise, snr)
            found[f"{name}, {snr:g} dB"] = counted(said, hear(loaded, mixed, phrases, loaded.limits))
    return found


def figures(tell: Tell) -> list[Figure]:
    """Measure beside made machines, for the table of the whole bench."""
    _, said = talk()
    return [
        Figure(
            f"Talk of {len(said)} utterances, right, {where}",
            one.right,
            "of them",
            None,
            f"not understood {one.unclear}, not noticed {one.unnoticed}, wrong action {len(one.wrong)}, "
            f"read back {len(one.asked)}, another question {len(one.questions)}",
        )
        for where, one in measure(made_noise(said[-1].ended + 2), tell).items()
    ]


def show(found: Mapping[str, Count]) -> str:
    """Return the table."""
    lines = []
    for where, one in found.items():
        delays = np.array(one.delays_s or (np.nan,)) * 1000
        lines.append(
            (where, str(one.right), str(one.unclear), str(one.unnoticed), str(len(one.wrong)), str(len(one.asked)),
             str(len(one.questions)), str(one.bothered),
             f"{np.median(delays):.0f} / {np.percentile(delays, 95):.0f}")
        )  # fmt: skip
    heads = ("", "right", "not understood", "not noticed", "wrong action", "read back", "another question", "bothered",
             "end of word to known [ms]")  # fmt: skip
    wrong = [
        f"{where}: {', '.join((*one.wrong, *one.asked, *one.questions))}"
        for where, one in found.items()
        if one.wrong or one.asked or one.questions
    ]
    return "\n".join([table(heads, lines), *wrong])


def running(listed: Path, tell: Tell, most_s: float, noise: Floats | None = None, snr_db: float = 0.0) -> str:
    """Feed up to ``most_s`` seconds of running speech, all phrases open, and return what was taken of it in an hour.

    With ``noise``, shape (n,), it is that far below the speech [dB].
    """
    loaded = VoskRecogniser(LANGUAGE)
    phrases = phrases_for(())
    pause = np.zeros(round(0.7 * RATE), dtype=np.int16)
    seconds, taken = 0.0, []
    for one in read_manifest(listed, ["path"]):
        if seconds >= most_s:
            break
        samples = np.concatenate([read_recording(one.path), pause])
        if noise is not None:
            samples = beside(samples, [Said("", 0.0, samples.size / RATE - _PAUSE_S)], noise, snr_db)
        seconds += samples.size / RATE
        taken += [heard.text for _, heard, counts in hear(loaded, samples, phrases, loaded.limits) if counts]
        tell(f"running speech, {seconds:.0f} s, taken {len(taken)}")
    return (
        f"running speech, {seconds / 3600:.2f} h: {len(taken)} taken, {len(taken) / seconds * 3600:.2f} an hour: "
        f"{', '.join(taken) or 'none'}"
    )


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--data", type=Path, help="a folder with noise.tsv and running.tsv")
    ask.add_argument("--all", action="store_true", help="all phrases of the assistant open, not those of a job")
    ask.add_argument("--only", action="append", default=[], help="this noise only (may be repeated)")
    ask.add_argument("--hours", type=float, default=3.0, help="how much running speech")
    ask.add_argument("--running-beside", metavar="NOISE", help="running speech beside this noise, at 5 dB")
    given = ask.parse_args()
    _, said = talk()
    seconds = said[-1].ended + 2
    listed = given.data / "noise.tsv" if given.data else None
    noises = recorded_noise(listed, seconds) if listed and listed.is_file() else made_noise(seconds)
    beside_it = noises.get(given.running_beside)
    noises = {name: noise for name, noise in noises.items() if not given.only or name in given.only}
    print(f"{machine()}; load {load()}")
    print(show(measure(noises, lambda _: None, (lambda _: all_phrases()) if given.all else of_a_job)))
    if given.data and (given.data / "running.tsv").is_file():
        print(running(given.data / "running.tsv", lambda _: None, given.hours * 3600, beside_it, 5.0))


if __name__ == "__main__":
    main()
