"""What is told to whoever takes the job over, and which of it is a note. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

import msgspec


class ToldKind(StrEnum):
    """What is told to whoever takes the job over: notes, problems, and what was accepted for a reason."""

    NOTE = "note"
    PROBLEM = "problem"
    DEVIATION = "deviation"


class Told(msgspec.Struct, frozen=True):
    """One of these, in the step with the id ``step`` ("" for none), in the words of a person, ``corrected`` or not."""

    kind: ToldKind
    step: str
    words: str
    corrected: bool = False


def notes_of(told: Sequence[Told]) -> list[int]:
    """Return where in ``told`` the notes and problems stand, in order: the first one is number one."""
    return [at for at, one in enumerate(told) if one.kind is not ToldKind.DEVIATION]


def note_numbered(told: Sequence[Told], number: int) -> Told | None:
    """Return the note or problem with this number from one; None where there is none."""
    at = notes_of(told)
    return told[at[number - 1]] if 1 <= number <= len(at) else None


def with_words(told: tuple[Told, ...], number: int, words: str, *, corrected: bool) -> tuple[Told, ...]:
    """Return ``told`` with other words in the note with this number; as it is where there is none."""
    at = notes_of(told)
    if not 1 <= number <= len(at):
        return told
    old = told[at[number - 1]]
    new = Told(old.kind, old.step, words, corrected)
    return (*told[: at[number - 1]], new, *told[at[number - 1] + 1 :])
