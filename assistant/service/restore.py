"""Puts a backup back: all of it is unpacked and proved beside the data folder before anything there is changed."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from assistant.files import private_folder
from assistant.journal.opening import journal_damage, journal_is_there, open_journal
from assistant.journal.port import JobState, JournalFault
from assistant.service.archive import DATA, ELSEWHERE, PROCEDURES, Manifest, broken_backup, open_backup
from assistant.service.backup import chains_in, content_of
from assistant.service.collecting import holds_anything
from assistant.service.only_one import the_only_bay
from assistant.settings import SettingsFault, load_settings, store_settings
from assistant.terminal.exits import Exit, Refusal

_SPARE = 4 * 1024 * 1024


@dataclass(frozen=True, slots=True)
class Restored:
    """What came of it. ``before`` is where the old data folder is now, if any; ``told``: more sentences."""

    manifest: Manifest
    before: Path | None
    told: tuple[str, ...] = ()


def restore_bay(file: Path, folder: Path, now_ms: int, *, over: bool) -> Restored:
    """Put the backup ``file`` into the data folder ``folder``; with ``over`` in the place of what is there.

    What was there is kept beside it, never removed.

    Raises:
        Refusal: the backup cannot be restored, there is something in the folder, a bay is at work there, or there is
            no room; nothing was changed.
    """
    folder = folder.resolve()  # a link to another disk stays, and what it leads to is replaced
    archive, manifest = open_backup(file)
    with archive, contextlib.ExitStack() as stack:
        full = holds_anything(folder)
        if full and not over:
            raise Refusal(
                f"There is a bay in {folder} already, and nothing was changed: give --over to put the backup in its "
                "place (what is there is kept beside it), or set ASSISTANT_HOME to an empty folder.",
                Exit.OUTPUT,
            )
        if full:
            stack.enter_context(_at_rest(folder))
        staging = stack.enter_context(_beside(folder, sum(one.size for one in manifest.files.values())))
        try:
            for name, wanted in manifest.files.items():
                place = staging / _place(name, manifest)
                private_folder(place.parent)
                with os.fdopen(os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
                    out.writelines(content_of(file, archive, name, wanted))
        except OSError as fault:
            raise Refusal(_no_room(folder, fault), Exit.OUTPUT) from fault
        _prove(file, staging, manifest)
        told = _settle(staging, manifest)
        return Restored(manifest, _swap(staging, folder, now_ms), told)


def check_backup(file: Path) -> Manifest:
    """Do all that :func:`restore_bay` does before it changes anything, in a folder that is removed again.

    Raises:
        Refusal: the backup cannot be restored.
    """
    with tempfile.TemporaryDirectory() as scratch:
        return restore_bay(file, Path(scratch) / "data", 0, over=False).manifest


def _place(name: str, manifest: Manifest) -> Path:
    """Return where the file ``name`` of a backup belongs, from the data folder."""
    top, _, rest = name.partition("/")
    if top == PROCEDURES:
        taken = any(other.startswith(f"{DATA}/{PROCEDURES}/") for other in manifest.files)
        return Path(f"{PROCEDURES}-of-the-bay" if taken else PROCEDURES) / rest
    return Path(ELSEWHERE) / rest if top == ELSEWHERE else Path(rest)


@contextlib.contextmanager
def _at_rest(folder: Path) -> Iterator[None]:
    """Make sure that nobody works in ``folder`` while the block runs."""
    with the_only_bay(folder):
        with contextlib.suppress(JournalFault):  # what is damaged is replaced, and nobody works in it
            if journal_is_there(folder):
                with open_journal(folder, read_only=True) as journal:
                    for job in journal.scan():
                        if job.state is not JobState.CLOSED and journal.lease(job.id) is not None:
                            sentence = f"Somebody works on job {job.id} in {folder}, and nothing was changed: end that"
                            raise Refusal(f"{sentence} first (Control-C keeps the job).", Exit.BUSY)
        yield


@contextlib.contextmanager
def _beside(folder: Path, size: int) -> Iterator[Path]:
    """Give an empty folder beside ``folder``, on the same disk; what is still there at the end is removed."""
    try:
        private_folder(folder.absolute().parent)
        free = shutil.disk_usage(folder.absolute().parent).free
        if free < size + _SPARE:
            wanted = f"{(size + _SPARE) / 2**20:,.0f} MiB, and {free / 2**20:,.0f} MiB are free"
            sentence = f"There is no room to restore into {folder}: it needs {wanted}. Make room there first."
            raise Refusal(sentence, Exit.OUTPUT)
        staging = Path(tempfile.mkdtemp(dir=folder.absolute().parent, prefix=f".{folder.name}.restoring-"))
    except OSError as fault:
        raise Refusal(_no_room(folder, fault), Exit.OUTPUT) from fault
    try:
        yield staging
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def _prove(file: Path, staging: Path, manifest: Manifest) -> None:
    """Raise unless the journal fits together, and each job is as it was when the backup was made."""
    try:
        if journal_is_there(staging) and (damage := journal_damage(staging)):
            raise broken_backup(file, f"its journal is damaged ({damage})")
        chains = chains_in(staging)
    except JournalFault as fault:
        why = fault.sentence.split(";")[0].replace(str(staging), "in it")
        raise broken_backup(file, f"its journal cannot be used: {why}") from fault
    if odd := sorted(job for job in {*chains, *manifest.jobs} if chains.get(job) != manifest.jobs.get(job)):
        raise broken_backup(file, f"job {odd[0]} in its journal is not as its manifest says")


def _settle(staging: Path, manifest: Manifest) -> tuple[str, ...]:
    """Let the settings name what lay outside of the data folder where it is now; return what there is to tell."""
    path, told = staging / "settings.toml", []
    try:
        changes = dict(manifest.elsewhere)
        came = {_place(name, manifest).parts[0] for name in manifest.files if name.startswith(f"{PROCEDURES}/")}
        if came and load_settings(path).procedures:
            changes["procedures"] = came.pop()
        load_settings(path)
        if changes:
            store_settings(path, changes)
            told.append(f"Changed in the settings, since it lay elsewhere: {', '.join(sorted(changes))}.")
    except SettingsFault as fault:
        told.append(f"Mend the settings: {fault.sentence.replace(str(staging), '')}")
    broken = sorted(job for job, chain in manifest.jobs.items() if not chain.good)
    told += [f"Job {job} did not fit together when the backup was made: assistant verify {job}" for job in broken]
    return tuple(told)


def _swap(staging: Path, folder: Path, now_ms: int) -> Path | None:
    """Put ``staging`` in the place of ``folder``; return where that is now, None when it was not there or empty."""
    before: Path | None = None
    try:
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
        elif folder.exists():
            when = datetime.fromtimestamp(now_ms / 1000, UTC).astimezone().strftime("%Y-%m-%d-%H%M%S")
            before = folder.with_name(f"{folder.name}-before-{when}")
            folder.rename(before)
        staging.rename(folder)
    except OSError as fault:
        if before is not None and not folder.exists():
            before.rename(folder)
        sentence = f"{folder} cannot be replaced ({fault.strerror}), and stays as it was: is it a disk of its own? "
        raise Refusal(f"{sentence}Then set ASSISTANT_HOME to a folder on it.", Exit.OUTPUT) from fault
    return before


def _no_room(folder: Path, fault: OSError) -> str:
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        return f"The disk of {folder} is full, and nothing was changed: make room there first."
    return f"Nothing can be written beside {folder} ({fault.strerror}), and nothing was changed: see who owns it."
