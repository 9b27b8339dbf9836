"""Stage 1: bring human recordings, noise and synthetic speech into one folder of parts (see ``blocks``).

Parts: ``train-human``, ``dev-human``, ``test-human``, ``train-noise``, ``test-noise``, ``train-synthetic``,
``train-natural`` (voices that need much computing), ``dev-synthetic``, ``test-synthetic``. *Dev* is for choosing
settings, *test* only for measuring. Human speech is split by speaker, noise by recording, synthetic speech by voice:
nobody is in two parts.
"""

from __future__ import annotations

import csv
import functools
import json
import multiprocessing
import random
import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

import num2words
import numpy as np
import soundfile
import soxr

from assistant.events import NUMBERS, SlotKind
from assistant.language.en.numbers import number_vocabulary
from models.recipe import lexicon
from models.recipe.blocks import RATE, Audio, PartWriter
from models.recipe.parting import part_of, tenth
from models.recipe.synthesis import render
from models.recipe.voices import HELD_OUT, KOKORO_DEV, Voice, draw_voice

LONGEST_S = 30.0
_DEV_VARIANTS = ("f4", "m7", "Andrea", "linda", "quincy")
"""espeak-ng variants that training does not hear; settings are chosen on them and on flite's ``kal16``."""


@dataclass(frozen=True, slots=True)
class Amount:
    """How much synthetic speech to make: clips of each command, word or letter, and of numbers and rows of words.

    ``natural`` stands before what the voices of ``train-natural`` say.
    """

    command: int = 50
    near: int = 5
    everyday: int = 2
    everyday_words: int = 5000
    isolated: int = 15
    numbers: int = 2200
    sentences: int = 1500
    letter: int = 25
    natural_command: int = 150
    natural_isolated: int = 50
    natural_near: int = 8
    natural_everyday: int = 1
    natural_number: int = 30
    natural_numbers: int = 3000
    natural_sentences: int = 2500
    held_out: int = 450

    def scaled(self, factor: float) -> Amount:
        """Return the same mixture, ``factor`` times as much (at least one of each)."""
        return Amount(*(max(1, round(getattr(self, name) * factor)) for name in self.__slots__))


@dataclass(frozen=True, slots=True)
class _Job:
    voice: Voice
    texts: tuple[str, ...]
    source: str


def gather_human(data: Path, out: Path, limit: int | None = None, processes: int = 1) -> dict[str, int]:
    """Pack the recordings listed in ``data``/manifest.tsv into parts in ``out``; return clips per part.

    The manifest has a heading line and the columns kind (speech or noise), set, path, label, speaker, seconds, extra.
    Recordings without a transcript that we can spell are kept without one: they serve as talk in the background.
    ``limit`` takes that many recordings of each set at most.

    Raises:
        ValueError: the manifest lacks a column.
        soundfile.LibsndfileError: a recording is missing or broken; the message names it.
    """
    out.mkdir(parents=True, exist_ok=True)
    rows = _manifest(data / "manifest.tsv", limit)
    writers = {part: PartWriter(out, part) for part in
               ("train-human", "dev-human", "test-human", "train-noise", "test-noise")}  # fmt: skip
    known = lexicon.training_words()
    with multiprocessing.Pool(processes) as pool:
        for row, audio in zip(rows, pool.imap(_read, [data / row["path"] for row in rows], chunksize=32), strict=True):
            source, text = row["set"], spoken_text(row["label"])
            if row["kind"] == "noise":
                part = "test-noise" if tenth(Path(row["path"]).stem) == 0 else "train-noise"
                text = row["label"]
            else:
                part = part_of(source, row["speaker"])
                text = text if all(word in known for word in text.split()) else ""
            writers[part].add(audio, text, row["speaker"], source)
    return {part: writer.close() for part, writer in writers.items()}


def _manifest(path: Path, limit: int | None) -> list[dict[str, str]]:
    """Return the rows of a manifest that are used: not too long, ``limit`` of each set at most."""
    taken: dict[str, int] = {}
    rows = []
    with path.open(encoding="utf-8", newline="") as opened:
        reader = csv.DictReader(opened, delimiter="\t", quoting=csv.QUOTE_NONE)
        missing = {"kind", "set", "path", "label", "speaker", "seconds"} - set(reader.fieldnames or ())
        if missing:
            raise ValueError(f"{path} lacks the columns {', '.join(sorted(missing))}.")
        for row in reader:
            taken[row["set"]] = taken.get(row["set"], 0) + 1
            fits = row["kind"] == "noise" or float(row["seconds"]) <= LONGEST_S
            if fits and (limit is None or taken[row["set"]] <= limit):
                rows.append(row)
    return rows


def spoken_text(label: str) -> str:
    """Return a transcript as words: lower case, numbers spelled out, no punctuation; [labels] give nothing."""
    if label.startswith("["):
        return ""
    text = re.sub(r"\d+(\.\d+)?", lambda found: f" {num2words.num2words(found.group())} ", label.lower())
    return " ".join(re.sub(r"[^a-z' ]", " ", text).split())


def plan_synthetic(out: Path, amount: Amount, seed: int) -> dict[str, int]:
    """Write what each synthetic voice shall say to ``out``/<part>.plan.jsonl; return jobs per part."""
    out.mkdir(parents=True, exist_ok=True)
    rng = random.Random(seed)
    plans = {"test-synthetic": _test_jobs(amount, rng), "dev-synthetic": _dev_jobs(amount, rng),
             "train-synthetic": _synthetic_jobs(amount, rng), "train-natural": _natural_jobs(amount, rng)}  # fmt: skip
    for part, jobs in plans.items():
        (out / f"{part}.plan.jsonl").write_text("".join(json.dumps(asdict(job)) + "\n" for job in jobs), "utf-8")
    return {part: len(jobs) for part, jobs in plans.items()}


def speak(out: Path, part: str, processes: int = 1) -> int:
    """Make the synthetic speech of the plan ``out``/<part>.plan.jsonl; return the number of clips."""
    lines = (out / f"{part}.plan.jsonl").read_text("utf-8").splitlines()
    jobs = [_Job(Voice(**job["voice"]), tuple(job["texts"]), job["source"]) for job in map(json.loads, lines)]
    writer = PartWriter(out, part)
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        for job, clips in pool.imap(_perform, jobs, chunksize=16):
            for text, audio in zip(job.texts, clips, strict=True):
                if len(audio) > RATE // 8:
                    writer.add(audio, text, job.voice.speaker, job.source, job.voice.accent)
    return writer.close()


def _perform(job: _Job) -> tuple[_Job, list[Audio]]:
    return job, render(job.voice, list(job.texts))


def _number_phrase(rng: random.Random) -> str:
    """Return a phrase with a number in it, or a number alone, as it would be said."""
    slot = rng.choice(lexicon.number_slots())
    kind = slot.kind
    whole = rng.choice((rng.randint(0, 20), rng.randint(0, 99), rng.randint(0, 999)))
    if kind is SlotKind.WHOLE or rng.random() < 0.3:
        words = num2words.num2words(whole if kind is SlotKind.DECIMAL else whole % 100)
    else:
        decimals = " ".join(num2words.num2words(rng.randint(0, 9)) for _ in range(rng.choice((1, 1, 2))))
        words = f"{num2words.num2words(whole)} point {decimals}"
    words = words.replace("-", " ").replace(",", "")
    if rng.random() < 0.5:
        words = words.replace(" and ", " ")
    return words if rng.random() < 0.2 else f"{slot.before} {words} {slot.after}".strip()


@functools.cache
def near_command_words() -> list[str]:
    """Return common words that sound almost like a command of one word, and are no word of a command."""
    pool = [*lexicon.everyday_words(12_000), *lexicon.trade_words()]
    ours = lexicon.command_words()
    singles = [phrase for phrase in lexicon.command_phrases() if " " not in phrase]
    return sorted({near for single in singles for near in lexicon.near_words(single, pool)} - ours)


def _row_of_words(rng: random.Random, often: list[str], trade: list[str]) -> str:
    """Return two to six words in a row, to hear words next to each other."""
    return " ".join(rng.choice(often if rng.random() < 0.6 else trade) for _ in range(rng.randint(2, 6)))


def _texts(
    kind: str, amounts: tuple[int, int, int, int, int, int, int], amount: Amount, rng: random.Random
) -> list[tuple[str, str]]:
    """List (text, source) in an order that mixes everything; sources are ``kind`` with what the text is.

    ``amounts``: of each command, each number word, each letter and word said alone, each near word, each other word;
    and how many numbers and rows of words.
    """
    command, number, isolated, near, everyday, numbers, rows = amounts
    texts: list[tuple[str, str]] = []
    for phrase in lexicon.command_phrases():
        texts += [(phrase, f"{kind}-command")] * command
    for word in sorted({word for kind in NUMBERS for word in number_vocabulary(kind)}):
        texts += [(word, f"{kind}-number")] * number
    texts += [(_number_phrase(rng), f"{kind}-number") for _ in range(numbers)]
    ours, alone = lexicon.command_words(), lexicon.isolated_words()
    for word in alone:
        texts += [(word, f"{kind}-isolated")] * isolated
    for word in near_command_words():
        texts += [(word, f"{kind}-near")] * near
    plain = [*lexicon.everyday_words(amount.everyday_words), *lexicon.trade_words()]
    for word in plain:
        if word not in ours and word not in alone:
            texts += [(word, f"{kind}-company")] * everyday
    trade = lexicon.trade_words()
    texts += [(_row_of_words(rng, plain[:1500], trade), f"{kind}-company") for _ in range(rows)]
    rng.shuffle(texts)
    return texts


def _synthetic_jobs(amount: Amount, rng: random.Random) -> list[_Job]:
    """List what the quick voices say for training."""
    texts = _texts(
        "synthetic",
        (amount.command, amount.letter, amount.isolated, amount.near, amount.everyday, amount.numbers,
         amount.sentences), amount, rng,
    )  # fmt: skip
    for letter in lexicon.LETTERS[1:]:
        texts += [(letter, "synthetic-company")] * amount.letter
    rng.shuffle(texts)
    jobs, for_festival = [], []
    for text, source in texts:
        # Letters and single sounds come out wrong from flite and festival.
        some = 1.0 if len(text) > 2 else 0.0
        family = rng.choices(("espeak", "hibari", "flite", "pico", "festival"), (5, 2, 1.2 * some, 2.5, 0.8 * some))[0]
        if family == "festival":
            for_festival.append((text, source))
            continue
        voice = draw_voice(family, rng)
        while voice.name.split("+")[-1] in (*_DEV_VARIANTS, "kal16"):
            voice = draw_voice(family, rng)
        jobs.append(_Job(voice, (text,), source))
    by_source: dict[str, list[str]] = {}
    for text, source in for_festival:
        by_source.setdefault(source, []).append(text)
    for source, said in by_source.items():
        jobs += [_Job(draw_voice("festival", rng), tuple(said[k : k + 25]), source) for k in range(0, len(said), 25)]
    rng.shuffle(jobs)
    return jobs


def _natural_jobs(amount: Amount, rng: random.Random) -> list[_Job]:
    """List what the voices say that are the most like people."""
    texts = _texts(
        "natural",
        (amount.natural_command, amount.natural_number, amount.natural_isolated, amount.natural_near,
         amount.natural_everyday, amount.natural_numbers, amount.natural_sentences), amount, rng,
    )  # fmt: skip
    return [_Job(draw_voice("kokoro", rng), (text,), source) for text, source in texts]


def _dev_jobs(amount: Amount, rng: random.Random) -> list[_Job]:
    voices = [Voice("espeak", f"{accent}+{variant}") for accent in ("gmw/en-US", "gmw/en") for variant in _DEV_VARIANTS]
    voices += [Voice("flite", "kal16"), Voice("flite", "kal16", pace=1.15)]
    people = [Voice("kokoro", name, "gb" if name.startswith("b") else "", pace)
              for name in KOKORO_DEV for pace in (0.9, 1.0, 1.15)]  # fmt: skip
    return _spoken_by([*voices, *people], amount.held_out, rng)


def _test_jobs(amount: Amount, rng: random.Random) -> list[_Job]:
    return _spoken_by(list(HELD_OUT), amount.held_out, rng)


def _spoken_by(voices: list[Voice], count: int, rng: random.Random) -> list[_Job]:
    """Let ``voices`` say ``count`` commands, a third as many number phrases, and ``count`` words that are no command.

    Each command is said at least once, if there is room; half of the other words are near ones.
    """
    commands = lexicon.command_phrases() * (count // len(lexicon.command_phrases()) + 1)
    near, ours = near_command_words(), lexicon.command_words()
    others = [word for word in lexicon.everyday_words(6000) if word not in ours]
    texts = [(text, "synthetic-command") for text in commands[:count]]
    texts += [(_number_phrase(rng), "synthetic-number") for _ in range(count // 3)]
    texts += [(rng.choice(near), "synthetic-near") for _ in range(count // 2)]
    texts += [(rng.choice(others), "synthetic-other") for _ in range(count - count // 2)]
    return list(_dealt(voices, texts))


def _dealt(voices: list[Voice], texts: list[tuple[str, str]]) -> Iterator[_Job]:
    """Deal the texts to the voices; festival gets its share in one job for each source."""
    for place, voice in enumerate(voices):
        share = texts[place :: len(voices)]
        if voice.family != "festival":
            yield from (_Job(voice, (text,), source) for text, source in share)
            continue
        for source in dict.fromkeys(source for _, source in share):
            yield _Job(voice, tuple(text for text, of in share if of == source), source)


def _read(path: Path) -> Audio:
    """Return a recording as 16 kHz mono samples, shape (n,)."""
    audio, rate = soundfile.read(path, dtype="float32", always_2d=True)
    mono = audio.mean(1)
    if rate != RATE:
        mono = soxr.resample(mono, rate, RATE)
    return np.rint(np.clip(mono, -1, 1) * 32_767).astype(np.int16)
