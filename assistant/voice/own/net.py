"""The acoustic net of a model, up to the narrow layer before its scores, in numpy alone.

Features are Kaldi's MFCC with 40 mel bins from 20 to 7600 Hz and 40 cepstra (``conf/mfcc.conf``; the formulas of
feature-mfcc.h), without dither. The net is that of the recipe (``models/recipe/net.py``).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt

from assistant.voice.own.tables import tables
from assistant.voice.ports import RATE, Samples

_Floats = npt.NDArray[np.float32]
LARGEST_SCORE = 30.0
_WINDOW, _HOP, _FFT, _BINS = 400, 160, 512, 40
_EVERY = 3
_SMALLEST = 1.1920929e-07


def _mel(hertz: npt.ArrayLike) -> npt.NDArray[np.float64]:
    return np.asarray(1127.0 * np.log(1 + np.asarray(hertz) / 700.0))


def _made() -> tuple[_Floats, _Floats, _Floats]:
    """Return the window, the filters, shape (257, 40), and the cosines with their lifter, shape (40, 40)."""
    edges = np.linspace(_mel(20.0), _mel(7600.0), _BINS + 2)
    left, centre, right = edges[:-2], edges[1:-1], edges[2:]
    bins = _mel(np.arange(_FFT // 2 + 1) * RATE / _FFT)[:, None]
    filters = np.maximum(0, np.minimum((bins - left) / (centre - left), (right - bins) / (right - centre)))
    filters[-1] = 0
    order = np.arange(_BINS)
    cosines = np.sqrt(2 / _BINS) * np.cos(np.pi / _BINS * (np.arange(_BINS) + 0.5) * order[:, None])
    cosines[0] = np.sqrt(1 / _BINS)
    lifted = cosines * (1 + 11.0 * np.sin(np.pi * order / 22.0))[:, None]
    window = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(_WINDOW) / (_WINDOW - 1))) ** 0.85
    return window.astype(np.float32), filters.astype(np.float32), lifted.T.astype(np.float32)


_SHAPE, _FILTERS, _COSINES = _made()


def mfcc(samples: Samples) -> _Floats:
    """Return the features, shape (frames, 40), of ``samples``, shape (n,), of at least 25 ms."""
    frames = np.lib.stride_tricks.sliding_window_view(samples.astype(np.float32), _WINDOW)[::_HOP]
    frames = frames - frames.mean(1, keepdims=True)
    sharp = np.concatenate([frames[:, :1] * (1 - 0.97), frames[:, 1:] - 0.97 * frames[:, :-1]], 1) * _SHAPE
    power = np.abs(np.fft.rfft(sharp, _FFT)) ** 2
    return np.asarray(np.log(np.maximum(power.astype(np.float32) @ _FILTERS, _SMALLEST)) @ _COSINES, np.float32)


class NarrowNet:
    """The layers of one model."""

    def __init__(self, folder: Path) -> None:
        """Read the net of the model directory ``folder``.

        Raises:
            ValueError: it is no net of the recipe.
            OSError: it cannot be read.
        """
        record = (folder / "am/final.mdl").read_bytes()
        found = tables(record)
        self._layers = {name: (w.read(record).astype(np.float32), b.read(record).astype(np.float32))
                        for name, w, b in found}  # fmt: skip
        self._blocks = sum(name.endswith(".linear") for name in self._layers)
        wanted = {"input.affine", "third.affine", "last", "scores"}
        wanted |= {f"block{n}.{part}" for n in range(self._blocks) for part in ("linear", "affine")}
        if not self._blocks or set(self._layers) != wanted:
            raise ValueError("The net has other layers than those of the recipe.")
        self.scores = self._layers["scores"]
        """Weights, shape (outputs, width), and bias of the scores before they are squeezed."""
        self.width = self.scores[0].shape[1]

    def hidden(self, features: _Floats) -> _Floats:
        """Return what the narrow layer gives, shape (ceil(frames / 3), width), for ``features``, (frames, 40)."""
        context = _EVERY * (self._blocks + 1)
        outputs = -(-len(features) // _EVERY)
        after = context + _EVERY * (outputs - 1) + 1 - len(features)
        x = np.concatenate([np.repeat(features[:1], context, 0), features, np.repeat(features[-1:], after, 0)])
        x = np.maximum(self._affine("input.affine", x, 5), 0)
        x = np.maximum(self._affine("third.affine", x, 3, _EVERY), 0)
        for number in range(self._blocks):
            narrow = self._affine(f"block{number}.linear", x, 2)
            x = x[1:-1] + np.maximum(self._affine(f"block{number}.affine", narrow, 2), 0)
        return self._affine("last", x, 1)

    def _affine(self, name: str, x: _Floats, taps: int, step: int = 1) -> _Floats:
        """Return the layer ``name`` over ``taps`` frames side by side."""
        count = (len(x) - taps) // step + 1
        beside = np.concatenate([x[tap : tap + step * (count - 1) + 1 : step] for tap in range(taps)], 1)
        weights, bias = self._layers[name]
        return np.asarray(beside @ weights.T + bias)
