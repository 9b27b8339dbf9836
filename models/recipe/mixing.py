"""Puts a net between two: each weight of the exported file goes part of the way from one net to another.

A short training on new people pulls a net away from what it knew. Between a net and what was trained on from it the
scores change smoothly, so a net on the way has most of what was gained and less of what was lost (weight-space
ensembles of fine-tuned models: Wortsman et al., CVPR 2022).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import numpy.typing as npt

from models.recipe.respell import write_checksums

_NET = "am/final.mdl"
_WHOLE, _WORDS = "FM", "CM2"
"""How ``kaldi`` writes a matrix: in floats, or in 16-bit steps between its least and its greatest value."""


def mix(old: Path, new: Path, share: float) -> None:
    """Move the net of the model directory ``old`` by ``share`` (0 to 1) towards that of ``new``; its graph stays.

    Raises:
        ValueError: the nets are of different form, or the share is not from 0 to 1.
        OSError: a directory has no net.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"The share must be from 0 to 1, not {share}.")
    first, second = (old / _NET).read_bytes(), (new / _NET).read_bytes()
    places = list(_places(first))
    if places != list(_places(second)):
        raise ValueError(f"{old} and {new} hold nets of different form.")
    mixed = bytearray(first)
    for kind, place, count in places:
        values = (1 - share) * _values(first, kind, place, count) + share * _values(second, kind, place, count)
        _write(mixed, kind, place, values)
    (old / _NET).write_bytes(mixed)
    write_checksums(old)


def _places(record: bytes) -> Iterator[tuple[str, int, int]]:
    """Yield how each table of weights is written, where it begins, and how many values it has."""
    mark, weights, bias = b"<ComponentName> ", b"<LinearParams> ", b"<BiasParams> "
    place = record.find(mark)
    while place >= 0:
        end = record.index(b" ", place + len(mark))
        if record.startswith(b"<FixedAffineComponent> ", end + 1):
            begin = record.index(weights, end) + len(weights)
            kind = record[begin : record.index(b" ", begin)].decode()
            if kind == _WHOLE:
                rows, columns = struct.unpack_from("<xixi", record, begin + 3)
                yield kind, begin + 13, rows * columns
                end = begin + 13 + 4 * rows * columns
            elif kind == _WORDS:
                rows, columns = struct.unpack_from("<ii", record, begin + 12)
                yield kind, begin + 4, rows * columns
                end = begin + 20 + 2 * rows * columns
            else:
                raise ValueError(f"Weights are written as {kind!r}, which is neither {_WHOLE} nor {_WORDS}.")
            begin = record.index(bias, end) + len(bias)
            (count,) = struct.unpack_from("<xi", record, begin + 3)
            yield _WHOLE, begin + 8, count
            end = begin + 8 + 4 * count
        place = record.find(mark, end)


def _values(record: bytes, kind: str, place: int, count: int) -> npt.NDArray[np.float64]:
    if kind == _WHOLE:
        return np.frombuffer(record, "<f4", count, place).astype(np.float64)
    low, span = struct.unpack_from("<ff", record, place)
    return low + span * np.frombuffer(record, "<u2", count, place + 16).astype(np.float64) / 65_535


def _write(record: bytearray, kind: str, place: int, values: npt.NDArray[np.float64]) -> None:
    if kind == _WHOLE:
        record[place : place + 4 * values.size] = values.astype("<f4").tobytes()
        return
    low, span = np.float32(values.min()), np.float32(np.ptp(values))
    struct.pack_into("<ff", record, place, low, span)
    steps = np.clip(np.round((values - low) / (span or 1) * 65_535), 0, 65_535).astype("<u2")
    record[place + 16 : place + 16 + 2 * values.size] = steps.tobytes()
