"""Writing a file that a person asked for: whole or not at all, never over another one unless asked, and then kept."""

from __future__ import annotations

import os
import shutil
import stat
import tempfile
from contextlib import suppress
from pathlib import Path

from assistant.files import private_folder
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import take_stdout, write_stdout

STDOUT = Path("-")
"""The name that means the standard output."""
FORMS = {
    "svg": (".svg",), "png": (".png",), "pdf": (".pdf",), "html": (".html", ".htm"), "json": (".json",),
    "csv": (".csv",), "ics": (".ics",), "wav": (".wav",), "flac": (".flac",), "ogg": (".ogg",), "xlsx": (".xlsx",),
    "yaml": (".yaml", ".yml"), "parquet": (".parquet",),
}  # fmt: skip
"""Forms of files, and the endings that say so."""


def check_free(path: Path, *, force: bool, option: str = "--force", form: str = "") -> None:
    """Make sure that ``path`` may be written, before the work for it is begun.

    ``force`` says that a file which is there already may be replaced; ``option`` is how the command line says so.
    ``form`` is the one of FORMS that will be written: a name that ends like another one is refused. From here on, the
    standard output belongs to the file that is called ``-``.

    Raises:
        Refusal: there is such a file, it is a folder, its folder is not there, or its name says another form.
    """
    if path == STDOUT:
        if not take_stdout():
            raise Refusal("Only one file can be the standard output (-): name the other one.", Exit.USAGE)
        return
    _check_ending(path, form)
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


def _check_ending(path: Path, form: str) -> None:
    ending = path.suffix.lower()
    if not form or ending in FORMS[form] or not any(ending in endings for endings in FORMS.values()):
        return
    sentence = f"{path} would hold {form.upper()}, and its name says otherwise: let it end in {FORMS[form][0]}."
    raise Refusal(sentence, Exit.USAGE)


def check_sound(path: Path) -> None:
    """Make sure that ``path`` may name a file of sound, which is written while it is played.

    Raises:
        Refusal: it is the standard output, or its name says another form.
    """
    if path == STDOUT:
        raise Refusal("Sound cannot go to the standard output: name a file, such as OUT.wav.", Exit.USAGE)
    if path.suffix.lower() not in (".wav", ".flac", ".ogg"):
        _check_ending(path, "wav")


def make_folder(path: Path) -> None:
    """Make the folder ``path`` for its owner alone; one that is there stays as it is.

    Raises:
        Refusal: it cannot be made.
    """
    try:
        private_folder(path)
    except OSError as fault:
        sentence = f"The folder {path} cannot be made ({fault.strerror}): name one that you may write to."
        raise Refusal(sentence, Exit.OUTPUT) from fault


def write_file(path: Path, data: bytes, *, force: bool, option: str = "--force", private: bool = False) -> Path | None:
    """Write ``data`` to ``path``, whole or not at all; return where the file that was there before is kept, or None.

    ``force`` and ``option`` are those of :func:`check_free`, which was asked before. ``private``: a new file is for its
    owner alone, because it tells of people.

    Raises:
        Refusal: it cannot be written, or there is such a file and it may not be replaced.
    """
    try:
        if path == STDOUT:
            write_stdout(data)
            return None
        check_free(path, force=force, option=option)
        target = path.resolve()
        if target.exists() and not target.is_file():  # a pipe or a device has nothing to keep and no half
            _pour(target, data)
            return None
        kept = _keep(target) if target.exists() else None
        _replace(target, data, private=private)
    except (OSError, ValueError) as fault:
        raise Refusal(_not_written(path, fault), Exit.OUTPUT) from fault
    return kept


def put(path: Path, data: bytes, *, force: bool, private: bool = False) -> None:
    """Do what :func:`write_file` does, and print where the file is; nothing when it was the standard output."""
    kept = write_file(path, data, force=force, private=private)
    if path != STDOUT:
        print(f"Wrote {path}" + (f"; what was there before is {kept}" if kept else ""))


def _pour(target: Path, data: bytes) -> None:
    try:
        target.write_bytes(data)
    except BrokenPipeError:  # its reader has seen enough
        return


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


def _replace(path: Path, data: bytes, *, private: bool) -> None:
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".new")
    new = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, new)
        elif not private:  # mkstemp makes it for its owner alone
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
    if path == STDOUT:
        return f"The standard output cannot be written ({why}): free some space, or name a file."
    return f"{path} cannot be written ({why}): choose a folder that is there, that you may write to and that has room."
