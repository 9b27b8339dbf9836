"""The pictures of a job: read when it is opened, and compared with what they were then when it is taken up again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from assistant.display.hung import Hung
from assistant.facts import Fact
from assistant.facts.bay import PictureKept, PicturesKept
from assistant.faults import Fault
from assistant.procedure.model import Procedure
from assistant.procedure.pictures import Picture, pictures_of, read_picture

Pictures = Mapping[str, Hung]
"""What can be shown of each picture, by the name of its file."""


def pictures_now(procedure: Procedure, path: str) -> Pictures:
    """Return the pictures of ``procedure`` that lie beside its file ``path``; without one they cannot be found."""
    names = pictures_of(procedure)
    return {name: _hung(name, path) for name in names}


def kept_pictures(pictures: Pictures) -> tuple[PicturesKept, ...]:
    """Return what a job keeps of them; nothing where there is none."""
    kept = tuple(PictureKept(name, one.sha256) for name, one in pictures.items() if one.sha256)
    return (PicturesKept(pictures=kept),) if kept else ()


def pictures_again(procedure: Procedure, path: str, facts: Iterable[Fact]) -> Pictures:
    """Return the same for a job that is taken up again: only what is still what it was when the job began."""
    hashes = {one.name: one.sha256 for fact in facts if isinstance(fact, PicturesKept) for one in fact.pictures}
    found = pictures_now(procedure, path)
    return {
        name: one if not one.sha256 or hashes.get(name) == one.sha256 else Hung(fault=_other(name))
        for name, one in found.items()
    }


def _hung(name: str, path: str) -> Hung:
    found: Picture | Fault = Fault("", "") if not Path(path).is_absolute() else read_picture(Path(path).parent, name)
    if isinstance(found, Fault):
        return Hung(fault=f"{found.reason or f'The picture {name} is not there'}.")
    return Hung(found.data, found.media, found.sha256)


def _other(name: str) -> str:
    return f"The picture {name} is another one than when the job began, and is not shown."
