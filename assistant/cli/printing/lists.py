"""The commands that only print: jobs, one job's entries, devices."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Sequence
from datetime import datetime

from assistant.bay.refusing import guarded
from assistant.journal.opening import journal_is_there, open_journal
from assistant.journal.port import Entry, JobInfo, JobState, JournalFault, Lease
from assistant.settings import home
from assistant.terminal.exits import Exit
from assistant.terminal.tables import print_json, table

_LONG = 72


def print_jobs(*, as_json: bool = False) -> Exit:
    """Print one line for each job, newest first."""
    return guarded(lambda: _jobs(as_json=as_json))


def _jobs(*, as_json: bool) -> Exit:
    found: list[JobInfo] = []
    held: dict[str, Lease] = {}
    if journal_is_there(home()):
        with open_journal(home(), read_only=True) as journal:
            for job in journal.scan():
                found.append(job)
                with contextlib.suppress(JournalFault):  # in a damaged file nobody works; the rest of it is listed
                    if job.state is not JobState.CLOSED and (lease := journal.lease(job.id)) is not None:
                        held[job.id] = lease
    if as_json:
        print_json(
            [
                {
                    "job": job.id,
                    "state": job.state,
                    "opened": _iso(job.opened_at_ms) if job.entries else None,
                    "last_entry": _iso(job.last_at_ms) if job.entries else None,
                    "entries": job.entries,
                    "procedure": job.title,
                    "rehearsal": job.rehearsal,
                    "bay": job.bay,
                    "held_by": _holder(held.get(job.id)),
                }
                for job in found
            ]
        )
        return Exit.OK
    if not found:
        print("There is no job yet; start one with: assistant run PROCEDURE")
        return Exit.OK
    rows = [
        (
            job.id,
            f"{job.state}, at work" if job.id in held else job.state,
            _local(job.opened_at_ms) if job.entries else "-",
            _local(job.last_at_ms) if job.entries else "-",
            str(job.entries),
            job.title + (" (rehearsal)" if job.rehearsal else ""),
        )
        for job in found
    ]
    print(table(("job", "state", "opened", "last entry", "entries", "procedure"), rows))
    return Exit.OK


def _holder(lease: Lease | None) -> dict[str, str | int] | None:
    return None if lease is None else {"bay": lease.bay, "machine": lease.host, "process": lease.pid}


def print_entries(name: str, *, behind: int | None = None, as_json: bool = False) -> Exit:
    """Print every entry of a job that can be read, then whether the chain holds; or those ``behind`` a number alone."""
    return guarded(
        lambda: _entries(name, as_json=as_json) if behind is None else _behind(name, behind, as_json=as_json)
    )


def _behind(name: str, number: int, *, as_json: bool) -> Exit:
    """Print the entries that came since somebody looked; each is checked against the one before it."""
    with open_journal(home(), read_only=True) as journal:
        entries = journal.follow(name, number)
    if as_json:
        print_json({"entries": [_object(entry) for entry in entries]})
    else:
        _print(entries)
    return Exit.OK


def _entries(name: str, *, as_json: bool) -> Exit:
    with open_journal(home(), read_only=True) as journal:
        entries = journal.read(name).entries
        verdict = journal.verify(name)
    if as_json:
        listed = [_object(entry) for entry in entries]
        print_json({"entries": listed, "good": verdict.good, "sentence": verdict.sentence})
    else:
        _print(entries)
    if not verdict.good:
        raise JournalFault(verdict.sentence)
    if not as_json:
        print(verdict.sentence)
    return Exit.OK


def _object(entry: Entry) -> dict[str, object]:
    return {
        "entry": entry.seq, "at": _iso(entry.at_ms), "kind": entry.kind, "version": entry.version, "cause": entry.cause,
        "data": entry.data,
    }  # fmt: skip


def _print(entries: Sequence[Entry]) -> None:
    for entry in entries:
        print(f"{entry.seq:5d}  {_local(entry.at_ms)}  {entry.kind:<20} {_short(entry)}")


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


def _iso(at_ms: int) -> str:
    return datetime.fromtimestamp(at_ms / 1000).astimezone().isoformat(timespec="milliseconds")


def print_devices(*, as_json: bool = False) -> Exit:
    """Print every device, with a mark at the system's defaults."""
    return guarded(lambda: _devices(as_json=as_json))


def _devices(*, as_json: bool) -> Exit:
    from assistant.events import End
    from assistant.voice.adapters.portaudio import PortAudio

    library = PortAudio()
    try:
        devices = library.devices()
    finally:
        library.close()
    if as_json:
        print_json(
            [
                {"for": end.value, "number": device.index, "name": device.name, "host": device.host,
                 "default": device.is_default(end)}
                for end in (End.MICROPHONE, End.LOUDSPEAKER)
                for device in devices
                if device.serves(end)
            ]
        )  # fmt: skip
        return Exit.OK
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
