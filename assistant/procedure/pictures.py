"""Photos and drawings that steps show: files beside the procedure, of a bounded size, PNG or JPEG and nothing else.

Nothing is drawn or decoded here: only the head of a file is looked at, which says what it is and how large it would be.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.faults import Fault, quoted
from assistant.files import FileFault, read_file
from assistant.procedure.model import Procedure, Step

MOST_PICTURE_BYTES = 4_000_000
"""Of one picture; a photo of a phone, saved a little smaller, has about a million."""
MOST_PICTURES = 40
"""Of one procedure: all of them are held while a job is at work."""
MOST_POINTS = 10_000
"""On a side: more is no picture for a page, and a browser may break on it."""
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,79}(?:\.[A-Za-z0-9_-]{1,20}){0,2}\.(?:png|jpg|jpeg)", re.ASCII)
NAME_PATTERN = _NAME.pattern
_PNG, _JPEG = b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"
_HINT = "name a .png, .jpg or .jpeg file that lies beside the procedure, without folders"


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it was read: its bytes, what they are (the media type), and their hash in hexadecimal."""

    data: bytes
    media: str
    sha256: str


def parse_picture(text: str) -> str | Fault:
    """Read the name of a picture: a file's own name and no way to one.

    >>> parse_picture("lid-from-above.png")
    'lid-from-above.png'
    >>> parse_picture("../lid.png").sentence[:43]
    '"../lid.png" is no name of a picture: name a'
    """
    if _NAME.fullmatch(text) is None:
        return Fault(f"{quoted(text)} is no name of a picture", _HINT)
    return text


def read_picture(folder: Path, name: str) -> Picture | Fault:
    """Return the picture ``name`` in ``folder``, or why it cannot be shown; nothing is raised."""
    checked = parse_picture(name)
    if isinstance(checked, Fault):
        return checked
    data = read_file(folder / name, MOST_PICTURE_BYTES, "a picture", no_link=True)
    if isinstance(data, FileFault):
        if data.missing:
            return Fault(f"The picture {name} is not there", "put it beside the procedure file")
        return Fault(f"The picture {name} cannot be used: {data.reason.replace(str(folder / name), 'it')}", data.advice)
    media, size = ("image/png", _png_size(data)) if data.startswith(_PNG) else ("image/jpeg", _jpeg_size(data))
    if size is None:
        return Fault(f"{name} is no PNG and no JPEG", "save it as one of them; its ending alone makes no picture of it")
    if not all(0 < side <= MOST_POINTS for side in size):
        return Fault(f"{name} has {size[0]} by {size[1]} points", f"save it with at most {MOST_POINTS} on a side")
    return Picture(data, media, sha256(data).hexdigest())


def _png_size(data: bytes) -> tuple[int, int] | None:
    """Return width and height from the head of a PNG (ISO/IEC 15948, 11.2.2: the header comes first)."""
    if len(data) < 24 or data[12:16] != b"IHDR":
        return None
    return int.from_bytes(data[16:20], "big"), int.from_bytes(data[20:24], "big")


def _jpeg_size(data: bytes) -> tuple[int, int] | None:
    """Return width and height of a JPEG from its frame (ITU-T T.81, B.2.2); None when it has none or is no JPEG."""
    if not data.startswith(_JPEG):
        return None
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        kind, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if 0xC0 <= kind <= 0xCF and kind not in (0xC4, 0xC8, 0xCC):
            return int.from_bytes(data[at + 7 : at + 9], "big"), int.from_bytes(data[at + 5 : at + 7], "big")
        if length < 2:
            return None
        at += 2 + length
    return None


def pictures_of(procedure: Procedure) -> list[str]:
    """Return the names of all pictures that steps show, each once and in order."""
    steps: Iterator[Step] = iter((*procedure.steps, *procedure.closing))
    return list(dict.fromkeys(step.picture for step in steps if step.picture))
