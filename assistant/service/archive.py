"""What a backup is: a ZIP whose ``manifest.json`` names every file in it with its size and SHA-256.

``data/`` is the data folder, ``procedures/`` the procedures of the bay, ``elsewhere/`` what the settings name outside
of the data folder. The manifest is trusted no more than the rest: names, sizes and hashes must all agree.
"""

from __future__ import annotations

import json
import stat
import zipfile
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any

from assistant.files import FileFault, look_at_file
from assistant.terminal.exits import Exit, Refusal

BACKUP_FORMAT = 1
"""Of the backup; it goes up when older programs could not restore one."""
MANIFEST = "manifest.json"
DATA, PROCEDURES, ELSEWHERE = "data", "procedures", "elsewhere"
MOST_FILES = 200_000
_MOST_MANIFEST = 64 * 1024 * 1024
_MOST_RATIO, _RATIO_FROM = 100, 64 * 1024 * 1024
"""Journals shrink to a tenth; what would unpack to a hundred times as much [bytes] is made to fill a disk. Ours."""
_WHAT = "a backup that assistant backup wrote"


@dataclass(frozen=True, slots=True)
class KeptFile:
    """A file of a backup: its size [bytes] and SHA-256 [hexadecimal]."""

    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class KeptChain:
    """A job of a backup: how many entries it has, the hash of the last, and whether its chain fitted then."""

    entries: int
    head: str
    good: bool


@dataclass(frozen=True, slots=True)
class Manifest:
    """What is in a backup. ``elsewhere`` tells for a setting which file of the backup it named."""

    program: str
    made_ms: int
    bay: str
    files: Mapping[str, KeptFile]
    jobs: Mapping[str, KeptChain]
    elsewhere: Mapping[str, str] = field(default_factory=dict)

    def as_bytes(self) -> bytes:
        """Return it as it stands in a backup."""
        return json.dumps({"format": BACKUP_FORMAT, **asdict(self)}, indent=1, sort_keys=True).encode("utf-8")


def open_backup(path: Path) -> tuple[zipfile.ZipFile, Manifest]:
    """Return the backup ``path``, opened, and its manifest: all names and sizes agree, and nothing is hostile.

    Raises:
        Refusal: it is no backup, is broken, is of a newer program, or has something in it that no backup has.
    """
    about = look_at_file(path, 0, _WHAT)
    if isinstance(about, FileFault):
        raise Refusal(f"{about.sentence}.", Exit.USAGE)
    try:
        archive = zipfile.ZipFile(path)
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as fault:
        raise broken_backup(path, "it is no whole ZIP file") from fault
    try:
        _check_list(path, archive, about[1])
        manifest = _read_manifest(path, archive)
        _check_agrees(path, archive, manifest)
    except BaseException:
        archive.close()
        raise
    return archive, manifest


def broken_backup(path: Path, why: str) -> Refusal:
    """Return the refusal of a backup that is not whole, or not ours."""
    return Refusal(f"{path} cannot be restored, and nothing was changed: {why}. Take another backup.", Exit.DIFFERENT)


def _check_list(path: Path, archive: zipfile.ZipFile, size: int) -> None:
    infos = archive.infolist()
    if len(infos) > MOST_FILES:
        raise broken_backup(path, f"it has more than {MOST_FILES:,} files")
    if len({info.filename for info in infos}) != len(infos):
        raise broken_backup(path, "it has two files of one name")
    for info in infos:
        if not _is_fit(info):
            raise broken_backup(path, f"{info.filename[:80]!r} in it is no name that a backup has, or no plain file")
    unpacked, packed = sum(info.file_size for info in infos), sum(info.compress_size for info in infos)
    if packed > size or unpacked > max(_RATIO_FROM, _MOST_RATIO * size):
        raise broken_backup(path, f"its {size:,} bytes would become {unpacked:,}, which no backup does")


def _is_fit(info: zipfile.ZipInfo) -> bool:
    """Return whether an entry is a plain file at a place where backups have them."""
    name, kind = info.filename, stat.S_IFMT(info.external_attr >> 16)
    if info.orig_filename != name or info.flag_bits & 0x1 or kind not in (0, stat.S_IFREG):
        return False
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return False
    if name == MANIFEST:
        return True
    parts = name.split("/")
    return (
        len(parts) > 1
        and parts[0] in (DATA, PROCEDURES, ELSEWHERE)
        and all(part not in ("", ".", "..") for part in parts)
        and "\\" not in name
        and "\0" not in name
        and PurePosixPath(name).as_posix() == name
    )


def _read_manifest(path: Path, archive: zipfile.ZipFile) -> Manifest:
    try:
        info = archive.getinfo(MANIFEST)
        if info.file_size > _MOST_MANIFEST:
            raise broken_backup(path, "its manifest is too long")
        with archive.open(info) as file:
            told = json.loads(file.read(_MOST_MANIFEST))
        made_by = str(told["program"])[:40]
        if not isinstance(told["format"], int) or told["format"] < 1:
            raise broken_backup(path, "its manifest names no format")
        if told["format"] > BACKUP_FORMAT:
            raise Refusal(
                f"{path} was made by a newer program ({made_by}), and nothing was changed: install that version or a "
                "later one here, then restore it.",
                Exit.DIFFERENT,
            )
        return _manifest(told)
    except KeyError as fault:
        raise broken_backup(path, f"it is no backup of this program ({fault} is not in it)") from fault
    except (ValueError, TypeError, AttributeError, RecursionError, OSError, zipfile.BadZipFile) as fault:
        raise broken_backup(path, "its manifest cannot be read") from fault
    except Exception as fault:  # zlib.error, which the standard library lets through
        if isinstance(fault, Refusal):
            raise
        raise broken_backup(path, "its manifest cannot be unpacked") from fault


def _manifest(told: Mapping[str, Any]) -> Manifest:
    return Manifest(
        program=str(told["program"]),
        made_ms=int(told["made_ms"]),
        bay=str(told["bay"]),
        files={str(name): KeptFile(int(one["size"]), str(one["sha256"])) for name, one in told["files"].items()},
        jobs={
            str(name): KeptChain(int(one["entries"]), str(one["head"]), bool(one["good"]))
            for name, one in told["jobs"].items()
        },
        elsewhere={str(name): str(file) for name, file in told["elsewhere"].items()},
    )


def _check_agrees(path: Path, archive: zipfile.ZipFile, manifest: Manifest) -> None:
    there = {info.filename: info.file_size for info in archive.infolist() if info.filename != MANIFEST}
    wanted = {name: one.size for name, one in manifest.files.items()}
    if there != wanted:
        odd = min(set(there.items()) ^ set(wanted.items()))[0]
        raise broken_backup(path, f"{odd[:80]!r} is not as its manifest says")
    if not set(manifest.elsewhere.values()) <= set(there):
        raise broken_backup(path, "its manifest names a file that is not there")
