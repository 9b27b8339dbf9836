"""Writers for the few binary records of Kaldi that a Vosk model needs.

Layouts read off Kaldi's sources: ``io-funcs-inl.h``, ``kaldi-matrix.cc``, ``compressed-matrix.h``, ``hmm-topology.cc``,
``transition-model.cc``, ``nnet-simple-component.cc``, from memory; vosk reading the result is the check.
"""

from __future__ import annotations

import struct
from collections.abc import Callable, Iterable, Sequence

import numpy as np
import numpy.typing as npt

Matrix = npt.NDArray[np.float64]
MatrixWriter = Callable[[Matrix], bytes]


def token(text: str) -> bytes:
    """Return a token: its letters and a space."""
    return text.encode() + b" "


def integer(value: int) -> bytes:
    """Return a 32-bit integer with its size in front."""
    return b"\x04" + struct.pack("<i", value)


def real(value: float) -> bytes:
    """Return a 32-bit float with its size in front."""
    return b"\x04" + struct.pack("<f", value)


def double(value: float) -> bytes:
    """Return a 64-bit float with its size in front."""
    return b"\x08" + struct.pack("<d", value)


def integers(values: Iterable[int]) -> bytes:
    """Return a vector of 32-bit integers."""
    listed = np.fromiter(values, "<i4")
    return b"\x04" + struct.pack("<i", len(listed)) + listed.tobytes()


def vector(values: npt.ArrayLike) -> bytes:
    """Return a vector of 32-bit floats."""
    listed = np.asarray(values, "<f4")
    return b"FV " + integer(listed.size) + listed.tobytes()


def matrix_32(matrix: Matrix) -> bytes:
    """Return a matrix of 32-bit floats."""
    rows = np.ascontiguousarray(matrix, "<f4")
    return b"FM " + integer(rows.shape[0]) + integer(rows.shape[1]) + rows.tobytes()


def matrix_16(matrix: Matrix) -> bytes:
    """Return a matrix in 65,536 even steps; the engine reads it back into floats."""
    return _linear(matrix, b"CM2 ", 65_535, "<u2")


def matrix_8(matrix: Matrix) -> bytes:
    """Return a matrix in 256 even steps; the engine reads it back into floats."""
    return _linear(matrix, b"CM3 ", 255, "u1")


def _linear(matrix: Matrix, mark: bytes, steps: int, kind: str) -> bytes:
    rows = np.ascontiguousarray(matrix, np.float32)
    low = float(rows.min())
    span = float(rows.max()) - low or 1e-5
    whole = np.clip(np.rint((rows - low) / span * steps), 0, steps).astype(kind)
    return mark + struct.pack("<ffii", low, span, *rows.shape) + whole.tobytes()


def transition_model(phones: int, tuples: Sequence[tuple[int, int, int]]) -> bytes:
    """Return a transition model with the "chain" topology: one state with a first-frame and a stay pdf.

    ``tuples`` are (phone number, first-frame pdf, stay pdf) in rising order.
    """
    record = token("<TransitionModel>") + token("<Topology>")
    record += integers(range(1, phones + 1)) + integers([-1] + [0] * phones)
    record += integer(-1) + integer(1) + integer(2)  # extended form, one entry, two states
    record += integer(0) + integer(1) + integer(2)  # the state: its two pdf classes follow, then two transitions
    record += integer(0) + real(0.5) + integer(1) + real(0.5)
    record += integer(-1) + integer(-1) + integer(0) + token("</Topology>")
    record += token("<Tuples>") + integer(len(tuples))
    for phone, enter, stay in tuples:
        record += integer(phone) + integer(0) + integer(enter) + integer(stay)
    record += token("</Tuples>") + token("<LogProbs>")
    record += vector([0.0] + [float(np.log(0.5))] * (2 * len(tuples)))
    return record + token("</LogProbs>") + token("</TransitionModel>")


def affine(weights: Matrix, bias: npt.NDArray[np.float64], write: MatrixWriter) -> bytes:
    """Return a fixed affine component."""
    record = token("<FixedAffineComponent>") + token("<LinearParams>") + write(weights)
    return record + token("<BiasParams>") + vector(bias) + token("</FixedAffineComponent>")


def nonlinear(kind: str, width: int) -> bytes:
    """Return a component that works on each value alone: ``RectifiedLinearComponent`` or ``TanhComponent``."""
    record = token(f"<{kind}>") + token("<Dim>") + integer(width)
    record += token("<ValueAvg>") + vector([]) + token("<DerivAvg>") + vector([]) + token("<Count>") + double(0)
    record += token("<OderivRms>") + vector([]) + token("<OderivCount>") + double(0)
    record += token("<NumDimsSelfRepaired>") + double(0) + token("<NumDimsProcessed>") + double(0)
    return record + token(f"</{kind}>")


def unchanged(width: int) -> bytes:
    """Return a component that passes its input on (a place to sum in)."""
    record = token("<NoOpComponent>") + token("<Dim>") + integer(width) + token("<BackpropScale>") + real(1.0)
    return record + token("</NoOpComponent>")


def scaled(factors: npt.NDArray[np.float64]) -> bytes:
    """Return a component that multiplies each value by its factor."""
    return token("<FixedScaleComponent>") + token("<Scales>") + vector(factors) + token("</FixedScaleComponent>")


def network(config: Sequence[str], components: Sequence[tuple[str, bytes]], context: int) -> bytes:
    """Return the acoustic net: its wiring, its components, and ``context`` frames on each side; no priors."""
    record = token("<Nnet3>") + b"\n" + ("\n".join(config) + "\n\n").encode()
    record += token("<NumComponents>") + integer(len(components))
    for name, component in components:
        record += token("<ComponentName>") + token(name) + component
    record += token("</Nnet3>") + token("<LeftContext>") + integer(context)
    return record + token("<RightContext>") + integer(context) + token("<Priors>") + vector([])
