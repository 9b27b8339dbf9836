"""Measures hearing against its bars: ``python -m tests.bench.hearing [--data FOLDER] [--people FOLDER]``.

``make bench-hearing`` does it too.
FOLDER holds lists of recordings, as ``assistant test-hearing`` takes them: ``nine-words.tsv`` (Speech Commands),
``ten-words.tsv`` and ``control-words.tsv`` (each a closed set: its own labels), ``phrases.tsv`` (ours),
``numbers.tsv`` (count, reading), ``other-words.tsv`` (single words that are no command), ``running.tsv`` (running
speech and radio), ``notes.tsv`` (read sentences, see :mod:`tests.bench.notes_heard`) and ``noise.tsv``. Nothing in them
may have been heard in training. What is missing is made with a synthesiser whose voice was not in training and from the
physics of machines where that can be done; where it cannot, that is said. People are lines of their own: recordings of
``manifest.tsv`` in the folder of ``--people``, of one part of its speakers (:mod:`tests.bench.people_heard`).
"""

from __future__ import annotations

import argparse
import json
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from rich.console import Console

from assistant.events import Grammar
from assistant.hearing.listen import ListeningPlan, listen, listen_to_running_speech
from assistant.hearing.manifest import Recording, read_manifest
from assistant.hearing.measuring import phrases_for
from assistant.hearing.score import HourlyRate, Marks, Share, SnrRow, Trial, as_meant, snr_rows
from assistant.terminal.tables import table
from assistant.voice.adapters.moonshine import NO_WRITER
from assistant.voice.listening.limits import read_limits
from assistant.voice.listening.model_files import OWN_MODEL
from models.recipe.people import NOT_THERE
from tests.bench import closed_loop, notes_heard, people_heard, running_talk
from tests.bench.figures import Figure, Tell, load, machine
from tests.bench.hearing_data import NAMES, made
from tests.bench.noisy_talk import made_noise

SNRS = (10.0, 5.0, 0.0)
Bars = tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class Bar:
    """What is asked of one list: which share [%], clean and at each of ``SNRS``; recall at least, others at most."""

    name: str
    what: str
    share: str
    bars: Bars
    closed: bool = False

    def keeps(self, value: float, bar: float) -> bool:
        """Return whether ``value`` [%] is good enough."""
        return value >= bar if self.share == "recall" else value < bar


BARS = (
    Bar(
        "nine-words", "nine Speech Commands words, closed set, unseen speakers", "recall", (97, 95, 92, 88), closed=True
    ),
    Bar("ten-words", "ten other human words, closed set", "recall", (95, 93, 89, 84), closed=True),
    Bar(
        "control-words",
        "isolated control words of other people, closed set",
        "recall",
        (100, 99.5, 99, 96),
        closed=True,
    ),
    Bar("phrases", "our phrases in voices never trained on: right", "recall", (99, 97, 94, 85)),
    Bar("phrases", "same: another phrase accepted", "wrong", (0.3, 0.5, 1, 2)),
    Bar("numbers", "a number after its phrase, voices never trained on: right", "recall", (None, None, None, None)),
    Bar("numbers", "same: another number or phrase accepted", "wrong", (None, None, None, None)),
    Bar("other-words", "single words that are no command, accepted", "false_accept", (2, 3, None, None)),
    Bar(people_heard.WORDS, "people: yes and no, all phrases open: right", "recall", (97, 95, 92, 85)),
    Bar(people_heard.WORDS, "same: another phrase accepted", "wrong", (1, 1, 2, 3)),
    Bar(people_heard.WORDS, "people: other words, accepted as a phrase", "false_accept", (1, 1, 2, 3)),
    Bar(people_heard.TEN, "people: ten short words, closed set", "recall", (97, 95, 92, 87), closed=True),
    Bar(people_heard.NUMBERS, "people: zero to twenty alone, closed set", "recall", (None,) * 4, closed=True),
    Bar(people_heard.JOINED, "people: number, joined behind a synthetic count", "recall", (96, 93, 88, 75)),
    Bar(people_heard.JOINED, "same: another number or phrase accepted", "wrong", (1, 1, 2, 3)),
)
MOST_PER_HOUR = 0.5


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured: rows by list, whole utterances accepted in running speech, and what was missing."""

    rows: dict[str, list[SnrRow]]
    running: HourlyRate | None
    accepted: list[str]
    remarks: list[str]
    notes: tuple[int, list[notes_heard.Wrong]] | None = None
    talk: str = ""
    """What became of hours of talk of people, as a table."""
    said: dict[str, list[Recording]] = field(default_factory=dict)


def lists(data: Path | None, out: Path, names: Sequence[str]) -> tuple[dict[str, Path], list[str]]:
    """Return where each list lies, and a sentence on each that was made here or is missing."""
    found: dict[str, Path] = {}
    remarks = []
    for name in names:
        if data is not None and (data / f"{name}.tsv").is_file():
            found[name] = data / f"{name}.tsv"
        elif made(out, name):
            found[name] = out / f"{name}.tsv"
            remarks.append(f"{name}: no recordings were given; made here, so this is easier than people and real bays.")
        else:
            remarks.append(f"{name}: missing; put {name}.tsv into the folder of --data.")
    return found, remarks


def heard(
    recordings: Sequence[Recording], noise: Sequence[Recording], closed: bool, model: Path, *, second: bool = True
) -> list[SnrRow]:
    """Return the rows of one list, clean and at ``SNRS``; ``second``: with the second opinion, as in a job."""
    words = sorted({recording.label for recording in recordings}) if closed else []
    grammar = Grammar(tuple(words)) if closed else phrases_for(one.label for one in recordings)
    plan = ListeningPlan(model, grammar, closed, tuple(one.path for one in noise), SNRS, second=second)
    trials: list[Trial] = [trial for trials in listen(plan, recordings) for trial in trials]
    return snr_rows(trials, Marks(words, None if closed else read_limits(model)))


def running(recordings: Sequence[Recording], model: Path, *, second: bool = True) -> tuple[HourlyRate, list[str]]:
    """Return the rate of whole utterances that were accepted in running speech, and the phrases."""
    marks = Marks((), read_limits(model))
    seconds, accepted = 0.0, []
    plan = ListeningPlan(model, phrases_for(()), closed=False, second=second)
    for length, utterances in listen_to_running_speech(plan, recordings):
        seconds += length
        accepted += [one.text for one in utterances if marks.accepted(Trial("", "", None, one.text, one.confidence))]
    return HourlyRate(len(accepted), seconds / 3600), sorted(accepted)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What to measure: lists in ``data``, ``split`` ("dev" or "test") of the recorded people in ``people``.

    Up to ``most`` recordings of each list; ``only`` names lists, and no other one is heard then.
    """

    data: Path | None = None
    people: Path | None = None
    split: str = "test"
    most: int = 600
    only: Sequence[str] = ()
    second: bool = True
    """Whether the second opinion is asked for, as in a job."""

    def wants(self, name: str) -> bool:
        """Return whether the list ``name`` is heard; noise always is."""
        return not self.only or name in self.only or name == "noise"


def gathered(wanted: Wanted, out: Path) -> tuple[dict[str, list[Recording]], list[str]]:
    """Return the recordings of each list, what is made in ``out``, and a sentence on each that was made or is missing.

    A list in ``data`` goes before one of the same name made of ``people``.
    """
    persons: dict[str, list[Recording]] = {}
    if wanted.people:
        persons = dict(people_heard.lists(wanted.people, wanted.split, out, wanted.most))
        if wanted.wants("notes"):
            persons["notes"] = people_heard.notes(wanted.people, wanted.split, out)
    names = [name for name in NAMES if wanted.wants(name)]
    if wanted.people and not _has(wanted.data, "running"):
        names = [name for name in names if name != "running"]  # talk of people is heard track by track
    where, remarks = lists(wanted.data, out, [name for name in names if name not in persons or _has(wanted.data, name)])
    remarks.append(NOT_THERE if wanted.people else people_heard.MISSING)
    every = {name: here for name, here in persons.items() if here and wanted.wants(name)}
    for name, path in where.items():
        found = read_manifest(path, ["path"] if name in ("running", "noise") else ("path", "label"))
        every[name] = found if name in ("running", "noise") else found[:: max(1, -(-len(found) // wanted.most))]
    return every, remarks


def _has(data: Path | None, name: str) -> bool:
    return data is not None and (data / f"{name}.tsv").is_file()


def measure(wanted: Wanted, model: Path, tell: Callable[[str], None]) -> Measured:
    """Measure all lists; print nothing; return what ``show`` prints."""
    with tempfile.TemporaryDirectory(prefix="bench-hearing-") as folder:
        every, remarks = gathered(wanted, Path(folder))
        noise = every["noise"]
        counted: dict[str, list[SnrRow]] = {}
        for bar in BARS:
            if bar.name in every and bar.name not in counted:
                tell(f"{bar.what}: {len(every[bar.name])} recordings")
                counted[bar.name] = heard(every[bar.name], noise, bar.closed, model, second=wanted.second)
        rate: HourlyRate | None = None
        accepted: list[str] = []
        if "running" in every:
            tell("running speech")
            rate, accepted = running(every["running"], model, second=wanted.second)
        notes = None
        if "notes" in every and notes_heard.can_measure():
            notes = len(every["notes"]), notes_heard.measure(every["notes"], noise, tell)
        elif "notes" in every:
            remarks.append(f"notes: {NO_WRITER}")
        talk = ""
        if wanted.people and "running" not in every and wanted.wants("running"):
            tell("talk of people")
            tracks = running_talk.tracks(wanted.people, wanted.split, running_talk.BESIDE)
            talk = running_talk.show(list(running_talk.measure(tracks, model=model, second=wanted.second)))
    return Measured(counted, rate, accepted, remarks, notes, talk, every)


def _who(bar: Bar, recordings: Sequence[Recording]) -> str:
    """Return how many recordings a line is about, and of how many voices where that is known."""
    others = bar.share == "false_accept"
    here = [one for one in recordings if bar.closed or (as_meant(one.label) is None) == others]
    voices = len({one.speaker for one in here if one.speaker})
    return f"{len(here)} of {voices}" if voices else str(len(here))


def _cell(bar: Bar, row: SnrRow, wanted: float | None) -> str:
    share: Share = getattr(row, bar.share)
    if share.value is None:
        return "-"
    low, high = share.interval
    value = 100 * share.value
    told = f"{value:.1f} ({100 * low:.1f}-{100 * high:.1f})"
    return told if wanted is None else f"{told} {'ok' if bar.keeps(value, wanted) else 'MISSED'} {wanted:g}"


def show(measured: Measured) -> str:
    """Return the table of bars: value, 95 % interval, and whether the bar was met."""
    lines = []
    for bar in BARS:
        if bar.name in measured.rows:
            found = measured.rows[bar.name]
            cells = [_cell(bar, row, wanted) for row, wanted in zip(found, bar.bars, strict=True)]
            lines.append((bar.what, _who(bar, measured.said[bar.name]), *cells))
    if measured.notes:
        number, found_notes = measured.notes
        lines += notes_heard.lines(found_notes, number)
    text = [
        table(("share [%], 95 % interval, bar", "clips of voices", "clean", *(f"{snr:g} dB" for snr in SNRS)), lines)
    ]
    if measured.running:
        rate = measured.running
        low, high = rate.interval
        verdict = "ok" if rate.per_hour < MOST_PER_HOUR else "MISSED"
        text.append(
            f"running speech, {rate.hours:.2f} h, whole utterances accepted: {rate.per_hour:.2f} an hour "
            f"({low:.2f}-{high:.2f}) {verdict} {MOST_PER_HOUR}: {', '.join(measured.accepted) or 'none'}"
        )
    return "\n".join([*text, *filter(None, [measured.talk]), *measured.remarks])


def figures(tell: Tell) -> list[Figure]:
    """Measure our phrases in a voice that training did not hear, for the table of the whole bench."""
    with tempfile.TemporaryDirectory(prefix="bench-hearing-") as folder:
        out = Path(folder)
        made(out, "noise")
        if not made(out, "phrases"):
            return [Figure("Phrases heard", 0.0, "%", None, "flite is not installed")]
        tell("our phrases in an unheard voice")
        recordings = read_manifest(out / "phrases.tsv")[::4]
        found = heard(recordings, read_manifest(out / "noise.tsv", ["path"]), closed=False, model=OWN_MODEL)
    return [
        Figure(f"Phrases {what}, {'quiet' if row.snr is None else f'{row.snr:g} dB'}", 100 * (share.value or 0.0), "%",
               None, f"{share.hits} of {share.trials}")
        for row in found for what, share in (("heard", row.recall), ("heard wrongly", row.wrong))
    ]  # fmt: skip


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--data", type=Path, help="a folder with lists of recordings")
    ask.add_argument("--model", type=Path, default=OWN_MODEL, help="a Vosk model directory (without it: our own)")
    ask.add_argument("--most", type=int, default=600, help="how many recordings of each list")
    ask.add_argument(
        "--only", action="append", default=[], help="this list only, such as people-words (may be repeated)"
    )
    ask.add_argument("--json", type=Path, help="write the shares to this file as well")
    ask.add_argument("--talks", type=int, default=1, help="jobs of the closed loop in each place and noise (0: none)")
    ask.add_argument("--people", type=Path, help="a folder with manifest.tsv of recorded people")
    ask.add_argument(
        "--split", choices=("dev", "test"), default="test", help="which of these people (dev: for choosing)"
    )
    ask.add_argument("--alone", action="store_true", help="the recogniser alone, without the second opinion")
    given = ask.parse_args()
    progress = Console(stderr=True)
    print(f"{machine()}; load {load()}")
    with progress.status("") as status:
        wanted = Wanted(given.data, given.people, given.split, given.most, given.only, not given.alone)
        measured = measure(wanted, given.model, status.update)
    print(show(measured))
    if given.talks:
        with progress.status("") as status:
            noises = made_noise(closed_loop.NOISE_S)
            loops = closed_loop.measure(noises, given.people, given.talks, status.update, second=not given.alone)
        print(closed_loop.show(loops))
    if given.json:
        told = {
            name: [{"snr": row.snr, **{part: getattr(row, part).value for part in ("recall", "wrong", "false_accept")}}
                   for row in found]
            for name, found in measured.rows.items()
        }  # fmt: skip
        given.json.write_text(json.dumps(told, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
