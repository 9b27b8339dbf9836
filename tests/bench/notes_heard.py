"""Words wrong in notes: ``python -m tests.bench.notes_heard SHARED OUT PART``, then ``make bench-hearing DATA=OUT``.

SHARED holds ``manifest.tsv`` with read English of people (and noise), as the recipe of the model takes it; PART is
``dev`` or ``test``. OUT gets ``notes.tsv`` and ``noise.tsv``. People are parted by their names, noise by recordings: an
option of the writer (no voice detector of its own) was chosen on ``dev``, and ``test`` only measures. We trained the
writer on none of them; the usual recogniser was trained on some, so its figure flatters. A word that is wrong, missing,
or too many counts as one; capitals and marks do not count.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile

from assistant.events import Grammar
from assistant.hearing.manifest import Recording
from assistant.hearing.mixing import mixed
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.moonshine import writer_is_installed
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.adapters.wav import read_recording
from assistant.voice.listening.writing import ProcessWriter
from assistant.voice.listening.written import bare_words, believed
from assistant.voice.ports import BLOCK, RATE, Samples
from models.recipe.parting import tenth

SETS = ("librispeech_part", "common_voice_en", "speechocean762", "vctk_p239")
NOISES = ("noise_esc10", "noise_opensfx", "noise_snu_b36")
LEAST_NOISE_S = 2.0
SNRS = (None, 10.0, 5.0)
BARS = (12.0, 20.0, 28.0)
"""Words wrong [%] in quiet, at 10 and at 5 dB: at most."""
EACH = 40
"""Recordings of each set in a list."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """Words wrong among ``words``: those of the writer, and those of the usual recogniser."""

    snr: float | None
    words: int
    written: int
    usual: int


def word_errors(said: Sequence[str], written: Sequence[str]) -> int:
    """Return the least number of words to change, leave out or add, to make ``written`` of ``said`` (Levenshtein)."""
    row = list(range(len(written) + 1))
    for at, word in enumerate(said, 1):
        before, row[0] = row[0], at
        for to, other in enumerate(written, 1):
            before, row[to] = row[to], min(row[to] + 1, row[to - 1] + 1, before + (word != other))
    return row[-1]


def said_in(label: str) -> list[str]:
    """Return the words of a transcript, with titles written out as people say them."""
    return bare_words(label.lower().replace("mr.", "mister").replace("mrs.", "missus"))


def measure(
    recordings: Sequence[Recording], noise: Sequence[Recording], tell: Callable[[str], None] = lambda _: None
) -> list[Wrong]:
    """Return the words wrong in quiet and at each level, of notes said as ``recordings``, beside any of ``noise``."""
    recogniser = VoskRecogniser(LANGUAGE)
    recogniser.set_grammar(Grammar(("end note", "cancel"), dictation=True))
    writer = ProcessWriter(patience_s=120.0)
    found = []
    try:
        for snr in SNRS:
            random = np.random.default_rng(7)
            counts = np.zeros(3, dtype=int)
            for number, one in enumerate(recordings, 1):
                tell(f"notes, {'quiet' if snr is None else f'{snr:g} dB'}: {number} of {len(recordings)}")
                beside = read_recording(noise[int(random.integers(len(noise)))].path) if snr is not None else None
                sound = mixed(read_recording(one.path), beside, snr, random)
                usual = _usual(recogniser, sound)
                said = said_in(one.label)
                told = believed(writer.write(sound), usual)
                counts += (len(said), word_errors(said, said_in(told)), word_errors(said, said_in(usual)))
            found.append(Wrong(snr, *map(int, counts)))
    finally:
        writer.close()
    return found


def _usual(recogniser: VoskRecogniser, sound: Samples) -> str:
    recogniser.start()
    for at in range(0, sound.size - BLOCK + 1, BLOCK):
        recogniser.feed(sound[at : at + BLOCK])
    return recogniser.finish(0.0, sound.size / RATE).text


def lines(found: Sequence[Wrong], number: int) -> list[tuple[str, ...]]:
    """Return the lines of the table of bars: the writer against its bars, and the usual recogniser."""
    shares = [100 * one.written / max(1, one.words) for one in found]
    cells = [
        f"{share:.1f} {'ok' if share <= bar else 'MISSED'} {bar:g}" for share, bar in zip(shares, BARS, strict=True)
    ]
    usual = [f"{100 * one.usual / max(1, one.words):.1f}" for one in found]
    words = f"{number} ({found[0].words} words)"
    return [
        ("notes, words wrong", words, *cells, "-"),
        ("same, without the extra for notes", words, *usual, "-"),
    ]


def can_measure() -> bool:
    """Return whether there is a writer to be measured."""
    return writer_is_installed()


def write_lists(shared: Path, out: Path, part: str) -> int:
    """Write ``notes.tsv`` and ``noise.tsv`` for ``part`` into ``out``; return how many notes there are."""
    out.mkdir(parents=True, exist_ok=True)
    with (shared / "manifest.tsv").open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened, delimiter="\t", quoting=csv.QUOTE_NONE))
    notes = []
    for name in SETS:
        here = [row for row in rows if row["set"] == name and row["label"].strip("[]") == row["label"] != ""]
        here = [row for row in here if in_part(row["speaker"], part)]
        notes += [here[at] for at in np.random.default_rng(3).permutation(len(here))[:EACH]]
    noise = [row for row in rows if row["set"] in NOISES and float(row["seconds"]) > LEAST_NOISE_S]
    noise = [row for row in noise if in_part(Path(row["path"]).stem, part)]
    for name, chosen in (("notes", notes), ("noise", noise)):
        _write(shared, out, name, chosen)
    return len(notes)


def in_part(name: str, part: str) -> bool:
    """Return whether a person, or a recording of noise, belongs to ``part``: half of them are test.

    Who is test, or dev, in the recipe of the model is so here.
    """
    return (tenth(name) % 2 == 0) == (part == "test")


def _write(shared: Path, out: Path, name: str, rows: Iterable[dict[str, str]]) -> None:
    folder = out / name
    folder.mkdir(exist_ok=True)
    told = ["path\tlabel\tspeaker\tseconds"]
    for number, row in enumerate(rows):
        samples, rate = soundfile.read(shared / row["path"], dtype="int16")
        soundfile.write(folder / f"{number:05d}.flac", samples, rate, subtype="PCM_16")
        told.append(f"{name}/{number:05d}.flac\t{row['label']}\t{row['speaker']}\t{row['seconds']}")
    (out / f"{name}.tsv").write_text("\n".join([*told, ""]), "utf-8")


if __name__ == "__main__":
    if len(sys.argv) != 4 or sys.argv[3] not in ("dev", "test"):
        sys.exit("Say: python -m tests.bench.notes_heard SHARED OUT (dev | test)")
    print(f"notes.tsv: {write_lists(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3])} recordings")
