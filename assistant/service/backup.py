"""Writes a backup of a bay while it may be at work: whole or not at all, and read back before it is called one."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import secrets
import shutil
import tempfile
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from assistant import __version__
from assistant.journal.opening import copy_journal, journal_is_there, journal_path, open_journal
from assistant.journal.port import Judged
from assistant.service.archive import DATA, MANIFEST, KeptChain, KeptFile, Manifest, broken_backup, open_backup
from assistant.service.collecting import Collected, collect
from assistant.service.noted import LastBackup, note_backup
from assistant.settings import Settings
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import STDOUT

_PIECE = 1024 * 1024
_SPARE = 4 * 1024 * 1024
"""Room on the disk [bytes] that is wanted beyond what is copied."""


def write_backup(
    folder: Path, settings: Settings, file: Path, now_ms: int, *, procedures: Path | None = None
) -> tuple[Path, Manifest, list[Path]]:
    """Write a backup of the bay in ``folder`` to ``file``; return where it is, what is in it, and what is not.

    ``file`` may be a folder: the backup gets a name by bay and time there. It appears under its name only when it is
    whole and was read back; it is for its owner alone.

    Raises:
        Refusal: there is nothing to keep, no room, such a file already, or it cannot be written.
        JournalFault: the journal cannot be read, or is damaged.
    """
    target = _target(folder, settings, file, now_ms)
    found = collect(folder, settings, procedures)
    there = journal_is_there(folder)
    if not there and not found.files:
        raise Refusal(f"There is nothing to keep in {folder}: no journal, no settings, no tools.", Exit.USAGE)
    _check_room(target, found.size, journal_path(folder).stat().st_size if there else 0)
    new = target.with_name(f".{target.name}.{secrets.token_hex(4)}.new")
    try:
        with tempfile.TemporaryDirectory(dir=target.parent, prefix=f".{target.name}.") as staging:
            manifest = _write(folder, found, Path(staging), new, settings.bay, now_ms)
        check_whole(new)
        new.replace(target)
    except OSError as fault:
        raise Refusal(_not_written(target, fault), Exit.OUTPUT) from fault
    finally:
        with contextlib.suppress(OSError):
            new.unlink(missing_ok=True)
    note_backup(folder, LastBackup(now_ms, str(target.absolute())))
    return target, manifest, found.left_out


def check_whole(path: Path) -> Manifest:
    """Read the backup ``path`` to its end; return what is in it.

    Raises:
        Refusal: it is not what its manifest says.
    """
    archive, manifest = open_backup(path)
    with archive:
        for name in manifest.files:
            for _ in content_of(path, archive, name, manifest.files[name]):
                pass
    return manifest


def content_of(path: Path, archive: zipfile.ZipFile, name: str, wanted: KeptFile) -> Iterator[bytes]:
    """Yield the content of the file ``name`` of a backup; at its end it is known to be as the manifest says.

    Raises:
        Refusal: it is not.
    """
    digest, left = hashlib.sha256(), wanted.size
    try:
        with archive.open(name) as file:
            while data := file.read(min(_PIECE, left + 1)):
                left -= len(data)
                if left < 0:
                    raise broken_backup(path, f"{name} in it is longer than it says")
                digest.update(data)
                yield data
    except (Refusal, GeneratorExit):
        raise
    except OSError as fault:
        if fault.errno in (errno.ENOSPC, errno.EDQUOT):  # whoever writes it elsewhere has no room
            raise
        raise broken_backup(path, f"{name} in it cannot be read") from fault
    except Exception as fault:  # BadZipFile, zlib.error, EOFError, and what zipfile says of odd headers
        raise broken_backup(path, f"{name} in it cannot be unpacked") from fault
    if left or digest.hexdigest() != wanted.sha256:
        raise broken_backup(path, f"{name} in it is not as it was written")


def chains_in(folder: Path) -> dict[str, KeptChain]:
    """Return how each job in the journal of ``folder`` stands.

    Raises:
        JournalFault: the journal cannot be read.
    """
    if not journal_is_there(folder):
        return {}
    with open_journal(folder, read_only=True) as journal:
        return {job.id: _chain(journal.read(job.id)) for job in journal.scan()}


def _chain(judged: Judged) -> KeptChain:
    return KeptChain(judged.verdict.entries, judged.verdict.head, judged.verdict.good)


def _target(folder: Path, settings: Settings, file: Path, now_ms: int) -> Path:
    if file == STDOUT:
        raise Refusal("A backup cannot go to the standard output: name a file or a folder.", Exit.USAGE)
    when = datetime.fromtimestamp(now_ms / 1000, UTC).astimezone().strftime("%Y-%m-%d-%H%M%S")
    target = file / f"backup-{settings.bay}-{when}.zip" if file.is_dir() else file
    if not target.parent.is_dir():
        sentence = f"{target} cannot be written, because the folder {target.parent} is not there: make it first."
        raise Refusal(sentence, Exit.OUTPUT)
    if target.exists():
        raise Refusal(f"{target} is there already, and no backup replaces another: name another file.", Exit.OUTPUT)
    if target.resolve().is_relative_to(folder.resolve()):
        sentence = f"{target} lies in the data folder, and would be lost with it: name a file on another disk."
        raise Refusal(sentence, Exit.OUTPUT)
    return target


def _check_room(target: Path, size: int, journal: int) -> None:
    """Raise when there is no room for what is copied and, meanwhile, for the journal once more."""
    wanted, free = size + 2 * journal + _SPARE, shutil.disk_usage(target.parent).free
    if free < wanted:
        sentence = f"There is no room for the backup in {target.parent}: it may need {_mib(wanted)}, and {_mib(free)} "
        raise Refusal(f"{sentence}are free. Make room there, or name a file on another disk.", Exit.OUTPUT)


def _write(folder: Path, found: Collected, staging: Path, new: Path, bay: str, now_ms: int) -> Manifest:
    files, chains = dict(found.files), {}
    if journal_is_there(folder):
        copy_journal(folder, journal_path(staging))
        chains = chains_in(staging)
        files[f"{DATA}/{journal_path(folder).name}"] = journal_path(staging)
    kept: dict[str, KeptFile] = {}
    with _new_private(new) as out, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, allowZip64=True) as archive:
        for name, path in sorted(files.items()):
            try:
                kept[name] = _put(archive, name, path)
            except FileNotFoundError:  # it was removed since it was found, as a customer's answer is
                continue
        elsewhere = {name: file for name, file in found.elsewhere.items() if file in kept}
        manifest = Manifest(__version__, now_ms, bay, kept, chains, elsewhere)
        with archive.open(zipfile.ZipInfo(MANIFEST), "w") as file:
            file.write(manifest.as_bytes())
    return manifest


@contextlib.contextmanager
def _new_private(path: Path) -> Iterator[IO[bytes]]:
    """Give a new file for its owner alone, which is on the disk at the end."""
    with os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600), "w+b") as out:
        yield out
        out.flush()
        os.fsync(out.fileno())


def _put(archive: zipfile.ZipFile, name: str, path: Path) -> KeptFile:
    digest, size = hashlib.sha256(), 0
    with path.open("rb") as source:
        info = zipfile.ZipInfo(name)
        info.compress_type = zipfile.ZIP_DEFLATED
        with archive.open(info, "w", force_zip64=True) as file:
            while data := source.read(_PIECE):
                digest.update(data)
                size += len(data)
                file.write(data)
    return KeptFile(size, digest.hexdigest())


def _not_written(target: Path, fault: OSError) -> str:
    if fault.errno in (errno.ENOSPC, errno.EDQUOT):
        return (
            f"The disk of {target} is full, and nothing of the backup is left there: make room, or name another disk."
        )
    why = fault.strerror or "this is not a file name"
    return f"{target} cannot be written ({why}): name a file in a folder that you may write to."


def _mib(count: int) -> str:
    return f"{count / 2**20:,.0f} MiB"
