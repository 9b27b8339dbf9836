"""The list of the box of shims of a bay, as a job takes it into its journal."""

from __future__ import annotations

from pathlib import Path

from assistant.facts.packs import BoxKnown
from assistant.faults import Fault
from assistant.files import FileFault, expanded, read_file
from assistant.procedure.format.box_file import read_box
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal

_MOST_BYTES = 200_000


def box_known(setting: str) -> BoxKnown | None:
    """Return what is in the box by the list at ``setting``, from the data folder when it is relative; None without one.

    Raises:
        Refusal: there is no such list, or something in it is wrong.
    """
    if not setting:
        return None
    path = box_path(setting)
    data = read_file(path, _MOST_BYTES, "the list of a box of shims, a .csv file")
    if isinstance(data, FileFault):
        raise Refusal(f"{data.sentence}.", Exit.PROCEDURE)
    shims = read_box(data, path.name)
    if isinstance(shims, Fault):
        raise Refusal(f"{shims.sentence}.", Exit.PROCEDURE)
    return BoxKnown(shims=shims)


def box_path(setting: str) -> Path:
    """Return where the list at ``setting`` lies, from the data folder when it is relative."""
    return home() / expanded(setting)
