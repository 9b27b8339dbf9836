"""Where the files lie that come with the program: the model that hears, the demo procedures, and these docs.

In a checkout they are folders beside the package, where people look for them; a wheel carries them inside the package.
"""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent
_INSIDE = _PACKAGE / "data"
"""The folder into which pyproject.toml puts them when a wheel is built."""


def shipped(name: str) -> Path:
    """Return the folder ``name``, one of ``models``, ``procedures`` and ``docs``, that came with the program."""
    inside = _INSIDE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


def how_to_call() -> str:
    """Return what puts ``assistant`` on the PATH: in a checkout, or where a wheel was installed."""
    return "pipx ensurepath" if _INSIDE.is_dir() else "make link"


def demo_procedures() -> list[Path]:
    """Return the files of the procedures that came with the program, by name."""
    return sorted(shipped("procedures").glob("*.yaml"))


def procedures_folder() -> Path:
    """Return the folder whose procedures are listed when none is named: ``procedures`` here, or the program's own."""
    here = Path("procedures")
    return here if here.is_dir() else shipped("procedures")


def procedure_at(path: Path) -> Path:
    """Return the demo procedure that ``path`` names, such as ``gearbox-side-cover``, where there is no such file.

    A name with a folder or an ending in it is a file's and stays what it is.
    """
    if path.name != str(path) or path.suffix or path.exists():
        return path
    named = shipped("procedures") / f"{path.name}.yaml"
    return named if named.is_file() else path
