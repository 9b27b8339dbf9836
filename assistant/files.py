"""Files that a person gives: the one way to read their bytes and their whole numbers. And files for their owner alone.

A file may be anything: missing, a folder, a pipe that never ends, a device, a thousand times too long, or written to
while it is read. None of that raises or waits here; it comes back as a :class:`FileFault`.
"""

from __future__ import annotations

import errno
import os
import stat
from dataclasses import dataclass
from pathlib import Path

from assistant.faults import Fault

MOST_DIGITS = 18
"""Digits of the longest whole number that any file needs; Python itself refuses to read more than some thousands."""

_MOST_SHOWN = 300


@dataclass(frozen=True, slots=True)
class FileFault(Fault):
    """Why a file cannot be used: what is wrong with it, and what to do instead. ``too_long``: only its length is."""

    too_long: bool = False
    missing: bool = False


def read_file(path: Path, most_bytes: int, what: str, *, no_link: bool = False) -> bytes | FileFault:
    """Return the bytes of the regular file ``path``, if they are at most ``most_bytes``; otherwise why not.

    ``what`` says what the file should be, such as "a procedure file". Opening never waits for the other end of a pipe,
    and what was opened is looked at, not what the name meant a moment before. With ``no_link`` the name is the file's
    own: one that leads to a file elsewhere is not followed.
    """
    found = _begin(path, most_bytes + 1, what, os.O_NOFOLLOW if no_link else 0)
    if isinstance(found, FileFault):
        return found
    data, _ = found
    return too_long(str(path), most_bytes, what) if len(data) > most_bytes else data


def look_at_file(path: Path, first_bytes: int, what: str) -> tuple[bytes, int] | FileFault:
    """Return the ``first_bytes`` of the regular file ``path`` and its size [bytes], or why it cannot be used.

    For files that a library reads by itself, piece by piece, however long they are.
    """
    return _begin(path, first_bytes, what)


def _begin(path: Path, count: int, what: str, flags: int = 0) -> tuple[bytes, int] | FileFault:
    try:
        handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK | flags)
        with os.fdopen(handle, "rb") as file:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode):
                return _not_regular(path, about.st_mode, what)
            return file.read(count), about.st_size
    except FileNotFoundError as fault:
        return FileFault(
            f"{path} cannot be read ({fault.strerror})", "check the name and who may read it", missing=True
        )
    except IsADirectoryError:
        return _not_regular(path, stat.S_IFDIR, what)
    except OSError as fault:
        if fault.errno == errno.ELOOP:
            return FileFault(f"{_short(path)} is a link", f"put {what} itself there")
        return FileFault(f"{_short(path)} cannot be read ({fault.strerror})", "check the name and who may read it")
    except ValueError:  # a NUL in the name
        why = "this is not a file name"
        return FileFault(f"{_short(path)} cannot be read ({why})", "check the name and who may read it")


def too_long(name: str, most_bytes: int, what: str) -> FileFault:
    """Return the complaint that ``name`` has more than ``most_bytes``, which ``what`` never has."""
    return FileFault(
        f"{name} is longer than {most_bytes:,} bytes", f"no file of this kind is; name {what}", too_long=True
    )


def _not_regular(path: Path, mode: int, what: str) -> FileFault:
    if stat.S_ISDIR(mode):
        return FileFault(f"{path} is a folder", f"name {what} in it")
    return FileFault(f"{path} is not a regular file", f"name {what}")


def _short(path: Path) -> str:
    """Return a name on one line: one that cannot be used may be of any length, and hold anything."""
    line = "".join(letter if letter.isprintable() else "?" for letter in str(path)[:_MOST_SHOWN])
    return line + ("..." if len(str(path)) > _MOST_SHOWN else "")


def expanded(name: str) -> Path:
    """Return the path ``name`` with a person's home folder in place of ``~``; the one of nobody stays as it is written.

    Then no such file is found, which whoever reads it says.
    """
    path = Path(name)
    try:
        return path.expanduser()
    except RuntimeError:
        return path


def whole_number(text: str) -> int | None:
    """Return ``text`` as a whole number, if it is written in at most eighteen decimal digits; else None.

    >>> whole_number("042"), whole_number("9" * 5000), whole_number("1e3"), whole_number("²")
    (42, None, None, None)
    """
    return int(text) if len(text) <= MOST_DIGITS and text.isascii() and text.isdecimal() else None


def private_folder(path: Path, *, ours: bool = False) -> Path:
    """Make the folder ``path``, and those above it that are not there, for their owner alone; return it.

    One that is there stays as it is, unless it is ``ours`` alone: then others lose their rights to it.

    Raises:
        OSError: it cannot be made.
    """
    for folder in (*reversed(path.parents), path):
        if not folder.exists():
            folder.mkdir(mode=0o700, exist_ok=True)
    if ours and path.stat().st_mode & 0o077:
        path.chmod(0o700)
    return path


def private_file(path: Path) -> Path:
    """Make the file ``path`` for its owner alone, when it is not there; return it.

    Raises:
        OSError: it cannot be made.
    """
    path.touch(mode=0o600)
    return path


def replace_private(path: Path, data: bytes) -> None:
    """Put ``data`` into the file ``path`` for its owner alone: whoever reads finds the old file or the new one, whole.

    Raises:
        OSError: it cannot be written; the old file stays as it was.
    """
    fresh = path.with_name(path.name + ".new")
    fresh.unlink(missing_ok=True)
    try:
        with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        fresh.replace(path)
    except OSError:
        fresh.unlink(missing_ok=True)
        raise
