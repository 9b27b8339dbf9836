"""A photo without what a camera wrote beside it, and which way up it is: read by ourselves, and strictly.

What makes and reads pictures looks into that as well, and warns of what is broken there. Nothing of it is wanted but
the way up. Sources: JPEG, ITU-T T.81 annex B; PNG, third edition, sections 5 and 11; TIFF 6.0, section 2, and Exif
2.32, section 4.5.4, for the way up (all from memory).
"""

from __future__ import annotations

import re
import struct
from dataclasses import dataclass

_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT = (b"IHDR", b"PLTE", b"tRNS", b"IDAT", b"IEND")
_MARKER = re.compile(rb"\xff[^\x00\xff]")
_SOS = 0xDA
"""The marker behind which the picture itself begins."""
_ALONE = {0x01, *range(0xD0, 0xDA)}
"""Markers without a length behind them."""
_SIZES = set(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""Markers of a frame, which begins with its precision, height and width."""
_BESIDE = {*range(0xE1, 0xF0), 0xFE} - {0xEE}
"""Markers of what programs and cameras write beside a picture; 0xEE says which colours it has."""
_EXIF = b"Exif\0\0"
_ORIENTATION, _SHORT = 0x0112, 3
_MOST_ENTRIES = 1000
_MOST_PARTS = 100_000
"""A photo has hundreds of segments, and thousands of chunks; more is made to keep somebody waiting."""
UPRIGHT = 1
"""The way up of a picture that is as it is shown, of 1 to 8 (Exif, tag 0x0112)."""


@dataclass(frozen=True, slots=True)
class Bare:
    """The picture alone; ``way_up`` as Exif counts it, 1 to 8; ``size`` is its width and height [points]."""

    data: bytes
    way_up: int = UPRIGHT
    size: tuple[int, int] = (0, 0)


def bare_picture(data: bytes) -> Bare:
    """Return the picture that ``data``, a JPEG or a PNG, holds; no bytes where it is neither, or ends too early."""
    try:
        if data.startswith(_PNG):
            return _bare_png(data)
        if data.startswith(b"\xff\xd8"):
            return _bare_jpeg(data)
    except struct.error:  # a part of it is shorter than it says
        pass
    return Bare(b"")


def _bare_png(data: bytes) -> Bare:
    kept, at, way_up, size = [_PNG], len(_PNG), UPRIGHT, (0, 0)
    for _ in range(_MOST_PARTS):
        if at >= len(data):
            break
        length, kind = struct.unpack_from(">I4s", data, at)
        inside = data[at + 8 : at + 8 + length]
        if kind == b"IHDR":
            width, height = struct.unpack_from(">II", inside)
            size = width, height
        elif kind == b"eXIf":
            way_up = _way_up(inside)
        if kind in _PNG_KEPT:
            kept.append(data[at : at + 12 + length])
        at += 12 + length
        if kind == b"IEND":
            break
    return Bare(b"".join(kept), way_up, size)


def _bare_jpeg(data: bytes) -> Bare:
    kept, at, way_up, size = [b"\xff\xd8"], 2, UPRIGHT, (0, 0)
    for _ in range(_MOST_PARTS):
        found = _MARKER.search(data, at)  # what stands between the segments means nothing
        if found is None:
            break
        at, marker = found.start(), data[found.start() + 1]
        if marker == _SOS:
            return Bare(b"".join((*kept, data[at:])), way_up, size)
        if marker in _ALONE:
            at += 2
            continue
        (length,) = struct.unpack_from(">H", data, at + 2)
        inside = data[at + 4 : at + 2 + length]
        if marker in _SIZES:
            height, width = struct.unpack_from(">HH", inside, 1)
            size = max(size, (width, height), key=lambda one: one[0] * one[1])
        elif marker == 0xE1 and inside.startswith(_EXIF):
            way_up = _way_up(inside[len(_EXIF) :])
        if marker not in _BESIDE:
            kept.append(data[at : at + 2 + length])
        at += 2 + max(length, 2)
    return Bare(b"")


def _way_up(exif: bytes) -> int:
    """Return the way up that an Exif block tells; UPRIGHT where it tells none, or is broken."""
    order = {b"II": "<", b"MM": ">"}.get(exif[:2])
    if order is None:
        return UPRIGHT
    try:
        magic, first = struct.unpack_from(f"{order}HI", exif, 2)
        (count,) = struct.unpack_from(f"{order}H", exif, first)
        for number in range(min(count, _MOST_ENTRIES) if magic == 42 else 0):
            tag, kind, many, value = struct.unpack_from(f"{order}HHIH", exif, first + 2 + 12 * number)
            if (tag, kind, many) == (_ORIENTATION, _SHORT, 1) and 1 <= value <= 8:
                return int(value)
    except struct.error:
        pass
    return UPRIGHT
