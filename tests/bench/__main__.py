"""Measures this machine and holds it to the limits: ``python -m tests.bench [--only NAME]... [--json OUT]``.

Exit code 0 when every limit is kept, 1 when one is missed or a measurement breaks. How each figure is measured stands
at the head of its module in this folder.
"""

from __future__ import annotations

import argparse
import json
import statistics
import sys
import tempfile
from collections.abc import Callable
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

from rich.console import Console
from rich.table import Table

from assistant.journal.port import JournalFault
from assistant.voice.ports import VoiceFault
from tests.bench import hearing, latency, listening, live_bay, papers, startup
from tests.bench.figures import Figure, Tell, load, machine, spread


def _cut(tell: Tell) -> list[Figure]:
    from assistant.voice.sound.card import SoundCard
    from assistant.voice.speaking.process import PYTTSX3, ProcessSynthesiser
    from assistant.voice.speaking.speaker import CardSpeaker
    from tests.bench import speaking

    tell("cutting speech short")
    with live_bay.bay() as opened:
        card = SoundCard()
        try:
            ear = speaking.Ear(card.loudspeaker("bay_speaker"))
            speaker = CardSpeaker(ProcessSynthesiser(PYTTSX3).ready(), ear)
            cuts = speaking.cutting(speaker, opened.pulse)
            first = speaking.answering(speaker, ear, speaking.new_texts())
            speaker.close()
        finally:
            card.close()
    return [
        *spread("Be quiet -> silence on the recording", [1000 * s for s in cuts], "ms", 100, 100),
        *spread("New text -> first sample at the sound card", [1000 * s for s in first], "ms", None, None),
    ]


def _journal(tell: Tell) -> list[Figure]:
    from tests.bench import journal

    with tempfile.TemporaryDirectory(dir=live_bay.ROOT, prefix=".bench-") as made:
        folder = Path(made)
        tell("commits")
        commits = journal.commit_ms(folder)
        resumes = []
        for least, limit in journal.LIMITS_S.items():
            tell(f"making a job of {least} entries")
            name, count = journal.long_job(folder / f"{least}", least)
            tell("resuming it")
            wall, cpu = zip(*(journal.resume_s(folder / f"{least}", name) for _ in range(5)), strict=True)
            remark = f"5 times, processor time {statistics.median(cpu):.2f} s"
            what = f"Resume of a job of {count} entries, median"
            resumes.append(Figure(what, statistics.median(wall), "s", limit, remark))
    return [*spread("Journal commit", commits, "ms", None, None), *resumes]


def _fastening(tell: Tell) -> list[Figure]:
    from tests.bench import fastening

    tell("a very long programme")
    times = fastening.times_ms()
    return spread(f"Expand and plan {fastening.BOLTS} bolts in 6 stages", times, "ms", 50, None)


def _checking(tell: Tell) -> list[Figure]:
    from tests.bench import checking

    tell("checking procedures")
    made = checking.of_100_steps()
    took = checking.seconds(made, 100)
    growth = checking.ms_a_step(6) / checking.ms_a_step(1)
    return [
        Figure(f"Check of 100 procedures of {checking.steps_of(made)} steps, processor time", took, "s", 5),
        Figure("Cost of a step in a file six times as long", growth, "times", 2),
    ]


def _shims(tell: Tell) -> list[Figure]:
    from tests.bench import shims

    tell("shims")
    return spread(f"Work out the shims of {shims.VALVES} valves", shims.times_ms(), "ms", 50, None)


def _planning(tell: Tell) -> list[Figure]:
    from tests.bench import planning

    return planning.figures(tell)


def _display(tell: Tell) -> list[Figure]:
    from tests.bench import display

    return display.figures(tell)


def _looking(tell: Tell) -> list[Figure]:
    from tests.bench import looking

    return looking.figures(tell)


def _words(tell: Tell) -> list[Figure]:
    from tests.bench import words

    return words.figures(tell)


def _rooms(tell: Tell) -> list[Figure]:
    from tests.bench import rooms

    return rooms.figures(tell)


def _central_growth(tell: Tell) -> list[Figure]:
    from tests.bench import central_growth

    return central_growth.figures(tell)


def _central_photos(tell: Tell) -> list[Figure]:
    from tests.bench import central_photos

    return central_photos.figures(tell)


def _talk(tell: Tell) -> list[Figure]:
    from tests.bench import noisy_talk

    return noisy_talk.figures(tell)


def _over_echo(tell: Tell) -> list[Figure]:
    from tests.bench import over_echo

    return over_echo.figures(tell)


def _voice_enrolment(tell: Tell) -> list[Figure]:
    from tests.bench import voice_enrolment

    return voice_enrolment.figures(tell)


BENCHES: dict[str, Callable[[Tell], list[Figure]]] = {
    "latency": latency.figures,
    "latency_in_noise": latency.beside_machines,
    "startup": startup.figures,
    "display": _display,
    "looking": _looking,
    "listening": listening.figures,
    "cut": _cut,
    "journal": _journal,
    "fastening": _fastening,
    "shims": _shims,
    "papers": papers.figures,
    "checking": _checking,
    "planning": _planning,
    "hearing": hearing.figures,
    "talk": _talk,
    "over_echo": _over_echo,
    "rooms": _rooms,
    "words": _words,
    "voice_enrolment": _voice_enrolment,
    "central_growth": _central_growth,
    "central_photos": _central_photos,
}


def table(figures: list[Figure]) -> Table:
    """Return the table of all figures."""
    shown = Table(title_justify="left")
    for heading in ("what", "measured", "limit", "", "remark"):
        shown.add_column(heading, justify="right" if heading in ("measured", "limit") else "left")
    for figure in figures:
        limit = "" if figure.limit is None else f"< {figure.limit:g} {figure.unit}"
        verdict = "" if figure.limit is None else "ok" if figure.is_kept else "[bold red]over[/]"
        value = f"{figure.value:,}" if isinstance(figure.value, int) else f"{figure.value:.3g}"
        shown.add_row(figure.what, f"{value} {figure.unit}", limit, verdict, figure.remark)
    return shown


def main() -> int:
    """Measure, print, and return the exit code."""
    ask = argparse.ArgumentParser(
        prog="python -m tests.bench", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    ask.add_argument("--only", action="append", choices=list(BENCHES), help="run this one only (may be repeated)")
    ask.add_argument("--json", type=Path, metavar="OUT", help="write the figures to this file as well")
    given = ask.parse_args()
    progress, out = Console(stderr=True), Console(width=None if sys.stdout.isatty() else 140)
    began, before = datetime.now().astimezone(), load()
    figures: list[Figure] = []
    broken: list[str] = []
    for name in given.only or BENCHES:
        with progress.status(name) as status:

            def tell(what: str, name: str = name) -> None:
                status.update(f"{name}: {what}")
                if not progress.is_terminal:
                    progress.print(f"{name}: {what}", highlight=False, markup=False)

            try:
                figures += BENCHES[name](tell)
            except (RuntimeError, AssertionError, OSError, ValueError, VoiceFault, JournalFault) as fault:
                broken.append(f"{name}: {type(fault).__name__}: {fault}")
    where = f"{machine()}; load {before} before, {load()} after; {began:%Y-%m-%d %H:%M}"
    out.print(where, highlight=False)
    out.print(table(figures))
    for line in broken:
        out.print(f"not measured: {line}", markup=False, style="red")
    if given.json:
        rows = [asdict(figure) | {"ok": figure.is_kept} for figure in figures]
        given.json.write_text(json.dumps({"machine": where, "figures": rows, "broken": broken}, indent=2), "utf-8")
    return int(bool(broken) or not all(figure.is_kept for figure in figures))


if __name__ == "__main__":
    sys.exit(main())
