"""Runs a recorded talk through the real command line and reads the journal that it leaves, with our code left out."""

import os
import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from assistant.journal.opening import journal_path
from tests.journal import independent

ROOT = Path(__file__).parents[2]
INPUTS = {"opened", "heard", "heard_of", "heard_alike", "unclear", "clock", "resumed", "clock_stepped"}
INPUTS |= {"times_known"}
ON_THE_WAY = {
    "arrived", "reached", "bolts_taken", "thing_asked", "dictation_begun", "words_taken", "asked_on", "granted",
    "refused", "miscounted", "hazard_again", "hazard_cut", "operators_named", "plans_dropped",
}  # fmt: skip
"""Facts that say how the job went from one thing to the next, and nothing of the work."""


@dataclass(frozen=True)
class Rehearsed:
    """How a rehearsal ended: its exit code, its dialogue, and the entries (seq, kind, data) of its journal."""

    code: int
    dialogue: str
    entries: list
    spoken: Path

    @property
    def facts(self):
        """The entries that tell of the work, as (kind, data)."""
        return facts_of(self.entries)

    @property
    def heard(self):
        """What was heard, as the dialogue has it."""
        return heard_in(self.dialogue)


def facts_of(entries) -> list:
    """Return those of ``entries`` that tell of the work, as (kind, data)."""
    return [(kind, data) for _, kind, data in entries if kind not in INPUTS | ON_THE_WAY]


def heard_in(dialogue: str) -> list[str]:
    """Return what a dialogue says that was heard, in order."""
    return re.findall(r'^ *\d+:\d\d  heard  "(.*)" \(', dialogue, re.MULTILINE)


def rehearse(procedure: str, talk: str, home: Path, *options: str) -> Rehearsed:
    """Rehearse ``procedures/<procedure>.yaml`` on ``audio_fixtures/<talk>.flac`` with the data in ``home``."""
    spoken = home / "spoken.wav"
    run = subprocess.run(
        [sys.executable, "-m", "assistant", "rehearse", f"procedures/{procedure}.yaml", "--audio-in",
         f"audio_fixtures/{talk}.flac", "--audio-out", spoken, *options],
        cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)}, capture_output=True, text=True,
    )  # fmt: skip
    assert "Traceback" not in run.stderr, run.stderr
    journal = journal_path(home)
    job = (
        run.stdout.rsplit("Job ", 1)[-1].split()[0] if "Job " in run.stdout else run.stdout.split("job ")[-1].split()[0]
    )
    return Rehearsed(run.returncode, run.stdout + run.stderr, independent.check(journal, job), spoken)


def differences(facts, expected) -> list[str]:
    """Return where ``facts`` and ``expected`` (a list of {kind: fields}) part, entry by entry; empty when nowhere."""
    found = []
    for number in range(max(len(facts), len(expected))):
        if number >= len(facts):
            found.append(f"{number + 1}: missing {expected[number]}")
        elif number >= len(expected):
            found.append(f"{number + 1}: not expected {facts[number]}")
        else:
            (kind, data), ((wanted, fields),) = facts[number], expected[number].items()
            if kind != wanted or any(data.get(key) != value for key, value in fields.items()):
                found.append(f"{number + 1}: expected {wanted} {fields}, got {kind} {data}")
    return found
