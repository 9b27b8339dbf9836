"""Writes the units of a bay where the user's systemd finds them, and takes them away again."""

from __future__ import annotations

import getpass
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from assistant.files import FileFault, read_file
from assistant.service import systemd
from assistant.service.unit import NAME, WANTED_BY, UnitFor, home_of, is_as_written, is_ours, name_fault, units
from assistant.settings import home
from assistant.shipped import shipped
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import make_folder, write_file

_MOST_BYTES = 64_000
NO_SYSTEMD = (
    "systemd does not run this computer, so there is no service to write: let what starts programs here run "
    "`assistant bay` as the user of the bay after the sound is up, or see with --print what a unit would say."
)


def wanted_here(name: str, bay: Sequence[str], place: Path) -> UnitFor:
    """Return what the units of this bay are for; they start in ``place``.

    Raises:
        Refusal: the service cannot be called ``name``, or a path or word cannot stand in a unit.
    """
    if fault := name_fault(name):
        raise Refusal(f"{fault.sentence}.", Exit.USAGE)
    it = UnitFor(
        _program(), home().absolute(), place.absolute(), shipped("docs"), name, tuple(bay),
        systemd.version(),
    )  # fmt: skip
    for word in (str(it.program), str(it.home), str(it.place), *it.bay):
        if not word.isprintable():
            raise Refusal(f"{word!r} has a character that cannot be seen: a unit cannot hold it.", Exit.USAGE)
    return it


def _program() -> Path:
    """Return the command of this program: the one beside its Python, as pip and pipx put it there."""
    beside = Path(sys.executable).with_name("assistant")
    return beside if beside.is_file() else Path(sys.argv[0]).absolute()


def print_units(it: UnitFor) -> Exit:
    """Print what would be written, and where."""
    for file, text in units(it).items():
        print(f"# {systemd.units_folder() / file}\n{text}")
    return Exit.OK


def install(it: UnitFor, *, force: bool, booted: bool) -> Exit:
    """Write the units, let them start by themselves, and say what was done and how to undo it.

    ``booted``: systemd runs this computer. ``force``: a unit that a person changed is replaced, and kept beside.

    Raises:
        Refusal: there is no systemd, somebody's own unit is in the way, another service has this bay, or the folder
            cannot be written; nothing was written then.
    """
    if not booted:
        raise Refusal(NO_SYSTEMD, Exit.OUTPUT)
    folder, texts = systemd.units_folder(), units(it)
    _check_only_one(folder, it, texts[f"{it.name}.service"])
    for file in texts:
        _check_ours(folder / file, force=force)
    make_folder(folder)
    for file, text in texts.items():
        kept = write_file(folder / file, text.encode("utf-8"), force=True)
        changed = kept is not None and not is_as_written(_read(kept))
        print(f"Wrote {folder / file}" + (f"; what was there before is {kept}" if changed else ""))
        if kept is not None and not changed:
            kept.unlink(missing_ok=True)
        if file != f"{it.name}-doctor.service":
            _start_by_itself(folder, file)
    read = systemd.reload()
    print(f"It starts when you log in. To start it now: {_now(it.name, read=read)}")
    if not systemd.lingers(_user()):
        print("So that it starts with the computer and stays when you log out, say once: loginctl enable-linger")
    print(f"What it says: journalctl --user -u {it.name}. To undo all of this: {_undo(it.name)}")
    return Exit.OK


def remove(name: str, *, force: bool) -> Exit:
    """Take the units away that were written here, and say what was removed.

    Raises:
        Refusal: there are none, a person changed one, or one cannot be removed.
    """
    if fault := name_fault(name):
        raise Refusal(f"{fault.sentence}.", Exit.USAGE)
    folder = systemd.units_folder()
    files = [f"{name}.service", f"{name}-doctor.service", f"{name}-doctor.timer"]
    there = [folder / file for file in files if (folder / file).exists()]
    if not there:
        raise Refusal(f"There is no service {name} in {folder}, so nothing was removed.", Exit.USAGE)
    for path in there:
        _check_ours(path, force=force)
    stopped = systemd.stop([path.name for path in there])
    for path in there:
        try:
            with suppress(FileNotFoundError):
                _link(folder, path.name).unlink()
            path.unlink()
        except OSError as gone:
            raise Refusal(
                f"{path} cannot be removed ({gone.strerror}): see who owns its folder.", Exit.OUTPUT
            ) from gone
        print(f"Removed {path}")
    systemd.reload()
    print("The service is stopped." if stopped else f"If it runs, it does so until: systemctl --user stop {name}")
    print("Jobs, settings and backups stay. loginctl disable-linger undoes enable-linger, if nothing else needs it.")
    return Exit.OK


def _check_ours(path: Path, *, force: bool) -> None:
    """Raise where ``path`` is not as it was written here, and ``force`` does not allow to touch it."""
    if force or not path.exists() or is_as_written(text := _read(path)):
        return
    what = "was changed by hand since it was written" if is_ours(text) else "was not written by this program"
    sentence = f"{path} {what}: give --force to go on (a changed one is kept as .bak), or put yours in {path}.d"
    raise Refusal(f"{sentence}/own.conf, which is never touched.", Exit.OUTPUT)


def _check_only_one(folder: Path, it: UnitFor, text: str) -> None:
    """Raise when another service has this data folder, or this one has another."""
    for path in sorted(folder.glob("*.service")) if folder.is_dir() else ():
        other = _read(path)
        if not is_ours(other) or path.name.endswith("-doctor.service"):
            continue
        same_name, same_home = path.name == f"{it.name}.service", home_of(other) == home_of(text)
        if same_home and not same_name:
            sentence = f"The service {path.stem} has the bay in {it.home} already: remove it with {_undo(path.stem)}"
            raise Refusal(f"{sentence}, or set ASSISTANT_HOME to another bay's data folder.", Exit.USAGE)
        if same_name and not same_home:
            sentence = f"The service {it.name} is for the bay in another data folder ({home_of(other)}): "
            raise Refusal(f"{sentence}give this one a name of its own with --name.", Exit.USAGE)


def _start_by_itself(folder: Path, file: str) -> None:
    """Do what ``systemctl --user enable`` does, which needs a manager that runs: link the unit to what wants it."""
    link = _link(folder, file)
    make_folder(link.parent)
    try:
        with suppress(FileNotFoundError):
            link.unlink()
        link.symlink_to(folder / file)
    except OSError as fault:
        raise Refusal(f"{link} cannot be made ({fault.strerror}): see who owns its folder.", Exit.OUTPUT) from fault


def _link(folder: Path, file: str) -> Path:
    return folder / f"{WANTED_BY[Path(file).suffix]}.wants" / file


def _read(path: Path) -> str:
    data = read_file(path, _MOST_BYTES, "a unit")
    if isinstance(data, FileFault):
        return ""
    return data.decode("utf-8", "replace")


def _undo(name: str) -> str:
    return "assistant install-service --remove" + ("" if name == NAME else f" --name {name}")


def _now(name: str, *, read: bool) -> str:
    begin = "" if read else "systemctl --user daemon-reload && "
    return f"{begin}systemctl --user start {name} {name}-doctor.timer"


def _user() -> str:
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return ""
