"""Finds the tables of weights in an exported net, ``final.mdl``, as ``kaldi`` writes them, and reads their values."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

TableValues = npt.NDArray[np.float64]

_STEPS = {b"CM2": (65_535, "<u2"), b"CM3": (255, "u1")}
"""Greatest step and type of a matrix in steps between its least and its greatest value; all else is in floats."""


@dataclass(frozen=True, slots=True)
class Table:
    """The values of one matrix or vector: how they are written, from which byte on, and their shape."""

    kind: bytes
    place: int
    shape: tuple[int, ...]

    def read(self, record: bytes) -> TableValues:
        """Return the values, of ``shape``."""
        count = int(np.prod(self.shape))
        if self.kind not in _STEPS:
            return np.frombuffer(record, "<f4", count, self.place).astype(np.float64).reshape(self.shape)
        low, span = struct.unpack_from("<ff", record, self.place)
        greatest, form = _STEPS[self.kind]
        steps = np.frombuffer(record, form, count, self.place + 16).astype(np.float64)
        stepped: TableValues = low + span * steps / greatest
        return stepped.reshape(self.shape)

    def write(self, record: bytearray, values: TableValues) -> None:
        """Put ``values``, of ``shape``, in the place of those that are there."""
        place = self.place
        if self.kind not in _STEPS:
            written = values.astype("<f4").tobytes()
        else:
            low, span = np.float32(values.min()), np.float32(np.ptp(values))
            struct.pack_into("<ff", record, place, low, span)
            greatest, form = _STEPS[self.kind]
            place += 16
            written = np.clip(np.round((values - low) / (span or 1) * greatest), 0, greatest).astype(form).tobytes()
        record[place : place + len(written)] = written


def tables(record: bytes) -> Iterator[tuple[str, Table, Table]]:
    """Yield name, weights, shape (out, in), and bias, shape (out,), of each affine component of a ``final.mdl``.

    Raises:
        ValueError: a component is written in a way that ``kaldi`` does not write.
    """
    mark, weights_mark, bias_mark = b"<ComponentName> ", b"<LinearParams> ", b"<BiasParams> "
    place = record.find(mark)
    while place >= 0:
        begin = place + len(mark)
        end = record.index(b" ", begin)
        if record.startswith(b"<FixedAffineComponent> ", end + 1):
            name = record[begin:end].decode()
            weights = _matrix(record, record.index(weights_mark, end) + len(weights_mark), name)
            each = 4 if weights.kind == b"FM" else np.dtype(_STEPS[weights.kind][1]).itemsize
            end = weights.place + each * int(np.prod(weights.shape))
            bias = _vector(record, record.index(bias_mark, end) + len(bias_mark), name)
            yield name, weights, bias
            end = bias.place + 4 * bias.shape[0]
        place = record.find(mark, end)


def _matrix(record: bytes, place: int, name: str) -> Table:
    kind = record[place : record.index(b" ", place)]
    if kind == b"FM":
        return Table(kind, place + 13, struct.unpack_from("<xixi", record, place + 3))
    if kind in _STEPS:
        return Table(kind, place + 4, struct.unpack_from("<ii", record, place + 12))
    raise ValueError(f"The weights of {name} are written as {kind!r}, which is none of FM, CM2 and CM3.")


def _vector(record: bytes, place: int, name: str) -> Table:
    if record[place : place + 3] != b"FV ":
        raise ValueError(f"The bias of {name} is written as {record[place : place + 2]!r}, which is not FV.")
    return Table(b"FV", place + 8, struct.unpack_from("<xi", record, place + 3))
