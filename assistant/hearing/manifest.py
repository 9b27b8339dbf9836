"""Lists of recordings: a table with one line each, its fields parted by tabs, paths relative to the list itself."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from assistant.files import FileFault, read_file
from assistant.language.chosen import LANGUAGE
from assistant.terminal.exits import Exit, Refusal

MANIFEST_COLUMNS = ("path", "label", "speaker", "seconds")
"""What the first line names, in any order; others may stand beside them. Only the path is needed of noise."""
_SHOWN = 3
_MOST_BYTES = 50_000_000
"""A list of a hundred thousand recordings has about ten million."""
_LONGEST_FIELD = 1000
_MOST_DIGITS = 9
"""Digits of the longest number in a label that has words."""
_DIGITS = re.compile(r"\d+(?:\.\d+)?", re.ASCII)
_NOT_SPOKEN = re.compile(r"[^a-z0-9' ]+")


@dataclass(frozen=True, slots=True)
class Recording:
    """One line: where the sound lies, what is said in it (empty: nothing that is known), and by whom."""

    path: Path
    label: str = ""
    speaker: str = ""


def read_manifest(path: Path, needed: Sequence[str] = ("path", "label")) -> list[Recording]:
    """Return the recordings that ``path`` lists; ``needed`` are the columns that it must have.

    Raises:
        Refusal: the file cannot be read, lacks a column, lists nothing, or names recordings that are not there.
    """
    lines = _lines(path)
    if not lines:
        raise _refused(
            f"{path} lists no recording: give one line each, with {', '.join(MANIFEST_COLUMNS)} parted by tabs."
        )
    head, rows = _parted(lines)
    missing = [name for name in needed if name not in head]
    if missing:
        raise _refused(
            f"{path} has no column {' or '.join(missing)}: name the columns {', '.join(MANIFEST_COLUMNS)} in its "
            "first line, parted by tabs."
        )
    found = [_recording(dict(zip(head, row, strict=False)), path.parent) for row in rows]
    if not found:
        raise _refused(f"{path} lists no recording below its first line: add one line for each.")
    _check_files(path, found)
    return found


def _lines(path: Path) -> list[list[str]]:
    """Return the fields of each line that is not empty."""
    data = read_file(path, _MOST_BYTES, "a list of recordings")
    if isinstance(data, FileFault):
        if data.missing:
            raise _refused(f"There is no list of recordings {path}: check the name.")
        raise _refused(f"{data.sentence}.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise _refused(f"The list of recordings {path} cannot be read as text: save it as UTF-8 with tabs.") from fault
    lines = [line.split("\t") for line in text.splitlines() if line.strip()]
    for number, line in enumerate(lines, 1):
        if max(map(len, line)) > _LONGEST_FIELD or not "".join(line).isprintable():
            raise _refused(
                f"{path}, line {number} of those that are not empty has a field of more than {_LONGEST_FIELD} letters, "
                "or one that holds control characters: mend that line."
            )
    return lines


def _parted(lines: list[list[str]]) -> tuple[list[str], list[list[str]]]:
    """Return the names of the columns and the lines below; a list without names has the usual columns."""
    head = [name.strip().lower() for name in lines[0]]
    if "path" in head or len(head) != len(MANIFEST_COLUMNS):
        return head, lines[1:]
    try:
        float(head[-1])
    except ValueError:
        return head, lines[1:]
    return list(MANIFEST_COLUMNS), lines


def _recording(fields: Mapping[str, str], folder: Path) -> Recording:
    label = fields.get("label", "").strip()
    return Recording(folder / fields["path"].strip(), as_recognised(label), fields.get("speaker", "").strip())


def as_recognised(label: str) -> str:
    """Return ``label`` as a recogniser spells it: lower case, numbers in words, no punctuation.

    A label in brackets or underscores says what a sound is, not what is said: it becomes empty.

    >>> as_recognised("Go_back!"), as_recognised("reading 35.5"), as_recognised("[radio]"), as_recognised("_silence_")
    ('go back', 'reading thirty five point five', '', '')
    """
    if label[:1] in ("[", "(", "<") or (label[:1] == "_" == label[-1:]):
        return ""
    label = _DIGITS.sub(_in_words, label)
    return " ".join(_NOT_SPOKEN.sub(" ", label.lower().replace("’", "'")).split())


def _in_words(number: re.Match[str]) -> str:
    """Return a number as it is said; one that is too long to be said is no word."""
    return LANGUAGE.numbers.number_words(Decimal(number[0])) if len(number[0]) <= _MOST_DIGITS else ""


def _check_files(listing: Path, recordings: Sequence[Recording]) -> None:
    gone = [recording.path for recording in recordings if not _is_file(recording.path)]
    if not gone:
        return
    shown = ", ".join(str(path) for path in gone[:_SHOWN]) + (" and others" if len(gone) > _SHOWN else "")
    raise _refused(
        f"{listing} names {len(gone)} of {len(recordings)} recordings that are not there ({shown}): paths are "
        "relative to the list; mend them or leave the lines out."
    )


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a name that is longer than any
        return False


def _refused(sentence: str) -> Refusal:
    return Refusal(sentence, Exit.PROCEDURE)
