"""The commands that only print: jobs, one job's entries, devices, phrases."""

from __future__ import annotations

import json
from datetime import datetime

from assistant.bay.exits import Exit
from assistant.bay.job import guarded, journal_is_there, journal_path
from assistant.bay.tables import table
from assistant.events import SlotKind
from assistant.journal.port import Entry, JournalFault
from assistant.journal.sqlite import SqliteJournal
from assistant.session.commands import INTENTS

_LONG = 72


def print_jobs() -> Exit:
    """Print one line for each job, newest first."""
    return guarded(_jobs)


def _jobs() -> Exit:
    found = SqliteJournal(journal_path(), read_only=True).jobs() if journal_is_there() else []
    if not found:
        print("There is no job yet; start one with: assistant run PROCEDURE")
        return Exit.OK
    rows = [
        (
            job.id,
            job.state,
            _local(job.opened_at_ms) if job.entries else "-",
            _local(job.last_at_ms) if job.entries else "-",
            str(job.entries),
            job.title + (" (rehearsal)" if job.rehearsal else ""),
        )
        for job in found
    ]
    print(table(("job", "state", "opened", "last entry", "entries", "procedure"), rows))
    return Exit.OK


def print_entries(name: str) -> Exit:
    """Print every entry of a job that can be read, then whether the chain holds."""
    return guarded(lambda: _entries(name))


def _entries(name: str) -> Exit:
    journal = SqliteJournal(journal_path(), read_only=True)
    entries = journal.entries(name)
    for entry in entries:
        print(f"{entry.seq:5d}  {_local(entry.at_ms)}  {entry.kind:<20} {_short(entry)}")
    verdict = journal.verify(name)
    if not verdict.good:
        raise JournalFault(verdict.sentence)
    print(verdict.sentence)
    return Exit.OK


def _short(entry: Entry) -> str:
    values = {key: value for key, value in entry.data.items() if value not in ("", None, [], {})}
    parts = [f"{key}={_cut(value)}" for key, value in values.items()]
    return " ".join(parts)


def _cut(value: object) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    text = " ".join(text.split())
    return text if len(text) <= _LONG else text[: _LONG - 3] + "..."


def _local(at_ms: int) -> str:
    return datetime.fromtimestamp(at_ms / 1000).astimezone().strftime("%Y-%m-%d %H:%M:%S")


def print_devices() -> Exit:
    """Print every device, with a mark at the system's defaults."""
    return guarded(_devices)


def _devices() -> Exit:
    from assistant.voice.devices import End  # noqa: PLC0415 - the sound library is loaded only where it is needed
    from assistant.voice.soundcard import PortAudio  # noqa: PLC0415

    library = PortAudio()
    try:
        devices = library.devices()
    finally:
        library.close()
    for end, title in ((End.MICROPHONE, "Microphones"), (End.LOUDSPEAKER, "Loudspeakers")):
        print(f"{title} (for --{end.value} NUMBER or part of the name):")
        serving = [device for device in devices if device.serves(end)]
        for device in serving:
            mark = "*" if device.is_default(end) else " "
            print(f" {mark} {device.index:3d}  {device.name}  [{device.host}]")
        if not serving:
            print("   none; plug one in, or check that the sound server runs, then list again")
    print("* is the system's default.")
    return Exit.OK


def print_phrases() -> Exit:
    """Print every phrase and what it does."""
    number = {None: "", SlotKind.WHOLE: " <number>", SlotKind.DECIMAL: " <number with point>"}
    rows = [
        (", ".join(phrase + number[intent.slot] for phrase in intent.phrases), intent.weight.value, intent.means)
        for intent in INTENTS
    ]
    print(table(("say", "weight", "what it does"), rows))
    return Exit.OK
