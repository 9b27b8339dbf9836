"""Recorded people for ``make bench-hearing``: the lists that a folder with ``manifest.tsv`` gives, of one part of them.

``test`` are people whom training and choosing never heard, ``dev`` are those by whom limits and words are chosen
(:mod:`models.recipe.parting`); noise is parted by recording. Which words of theirs are what test: the recipe's
:mod:`models.recipe.people`.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator
from pathlib import Path

from assistant.hearing.manifest import Recording, as_recognised, read_manifest
from assistant.voice.adapters.wav import read_recording
from models.recipe import people
from models.recipe.parting import part_of, tenth
from tests.bench import notes_heard
from tests.bench.hearing_data import UNHEARD, write_list

WORDS, TEN, NUMBERS, JOINED = "people-words", "people-ten", "people-numbers", "people-joined"
_TESTS = {
    WORDS: (people.PHRASES, people.OTHERS),
    TEN: (people.TEN,),
    NUMBERS: (people.NUMBERS,),
    JOINED: (people.JOINED,),
}
MISSING = (
    "people: left out, no folder of recorded people was given (PEOPLE=folder with manifest.tsv, as the model's recipe "
    "takes it): no line of this table stands for people."
)


def lists(shared: Path, split: str, out: Path, most: int) -> Iterator[tuple[str, list[Recording]]]:
    """Yield the lists of ``split`` ("dev" or "test"), up to ``most`` recordings for each test.

    What is made lies in ``out``.

    Raises:
        SystemExit: there is no ``manifest.tsv`` in ``shared``.
    """
    rows = list(_rows(shared))
    persons: dict[str, list[tuple[str, str, Path]]] = {}
    for row in rows:
        if row["kind"] == "speech" and part_of(row["set"], row["speaker"]) == f"{split}-human":
            text = as_recognised(row["label"])
            for test in people.tests_of(row["set"], text):
                persons.setdefault(test, []).append((row["speaker"], text, shared / row["path"]))
    for name, tests in _TESTS.items():
        chosen = [one for test in tests for one in people.drawn(persons.get(test, ()), most)]
        if name == JOINED and UNHEARD[0].is_here:
            yield name, _joined(chosen, out)
        elif name != JOINED:
            yield name, [Recording(path, text, speaker) for speaker, text, path in chosen]
    yield (
        "noise",
        [
            Recording(shared / row["path"])
            for row in rows
            if row["kind"] == "noise" and (tenth(Path(row["path"]).stem) == 0) == (split == "test")
        ],
    )


def _joined(chosen: Iterable[tuple[str, str, Path]], out: Path) -> list[Recording]:
    """Return numbers of people, each behind the word *count* of a synthetic voice, as files in ``out``."""
    before = [person.say(people.BEFORE) for person in UNHEARD]
    clips = [
        (f"{people.BEFORE} {text}", speaker, people.joined(before[at % len(before)], read_recording(path)))
        for at, (speaker, text, path) in enumerate(chosen)
    ]
    write_list(out, JOINED, clips)
    return [
        Recording(out / JOINED / f"{number:05d}.flac", label, speaker)
        for number, (label, speaker, _) in enumerate(clips)
    ]


def notes(shared: Path, split: str, out: Path) -> list[Recording]:
    """Return sentences that people read, as files in ``out``."""
    notes_heard.write_lists(shared, out / "read", split)
    return read_manifest(out / "read" / "notes.tsv")


def _rows(shared: Path) -> Iterator[dict[str, str]]:
    path = shared / "manifest.tsv"
    if not path.is_file():
        raise SystemExit(f"There are no recorded people in {shared}: name a folder that holds manifest.tsv.")
    with path.open(encoding="utf-8", newline="") as opened:
        yield from csv.DictReader(opened, delimiter="\t", quoting=csv.QUOTE_NONE)
