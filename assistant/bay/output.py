"""Writing a file that a person asked for: whole or not at all, never over another one unless asked, and then kept."""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
from contextlib import suppress
from pathlib import Path

from assistant.bay.exits import Exit
from assistant.bay.job import Refusal


def check_free(path: Path, *, force: bool, option: str = "--force") -> None:
    """Make sure that ``path`` may be written, before the work for it is begun.

    ``force`` says that a file which is there already may be replaced; ``option`` is how the command line says so.

    Raises:
        Refusal: there is such a file, it is a folder, or its folder is not there.
    """
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        if not path.parent.is_dir():
            sentence = f"{path} cannot be written, because the folder {path.parent} is not there: make it first."
            raise Refusal(sentence, Exit.OUTPUT) from None
        return
    except (OSError, ValueError) as fault:
        raise Refusal(_not_written(path, fault), Exit.OUTPUT) from fault
    if stat.S_ISDIR(mode):
        raise Refusal(f"{path} is a folder: name a file in it.", Exit.OUTPUT)
    if stat.S_ISREG(mode) and not force:
        sentence = f"{path} is there already: name another file, or replace it with {option} (the old one is kept)."
        raise Refusal(sentence, Exit.OUTPUT)


def write_file(path: Path, data: bytes, *, force: bool, option: str = "--force") -> Path | None:
    """Write ``data`` to ``path``, whole or not at all; return where the file that was there before is kept, or None.

    ``force`` and ``option`` are those of :func:`check_free`.

    Raises:
        Refusal: it cannot be written, or there is such a file and it may not be replaced.
    """
    check_free(path, force=force, option=option)
    try:
        target = path.resolve()
        if target.exists() and not target.is_file():  # a pipe or a device has nothing to keep and no half
            target.write_bytes(data)
            return None
        kept = _keep(target) if target.exists() else None
        _replace(target, data)
    except (OSError, ValueError) as fault:
        raise Refusal(_not_written(path, fault), Exit.OUTPUT) from fault
    return kept


def _keep(path: Path) -> Path:
    """Copy ``path`` beside itself under the first name that is free, and return that."""
    number = 1
    while True:
        kept = path.with_name(f"{path.name}.bak" if number == 1 else f"{path.name}.bak{number}")
        try:
            with kept.open("xb"):
                pass
        except FileExistsError:
            number += 1
            continue
        shutil.copy2(path, kept)
        return kept


def _replace(path: Path, data: bytes) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".new")
    new = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, new)
        else:
            mask = os.umask(0)
            os.umask(mask)
            new.chmod(0o666 & ~mask)
        new.replace(path)
    except BaseException:
        with suppress(OSError):
            new.unlink()
        raise


def _not_written(path: Path, fault: Exception) -> str:
    why = getattr(fault, "strerror", None) or "this is not a file name"
    return f"{path} cannot be written ({why}): choose a folder that is there, that you may write to and that has room."
