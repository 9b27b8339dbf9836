"""Which of some short words a sound ends with, and what stands before it: small nets on what the encoder makes of it.

The encoder was trained on very many voices, the net by people who say these words, and behind a phrase such as *count*
as well. It hears the single words of people whom nobody trained on better than the engine of the phrases does, and a
number behind its phrase too; longer phrases it does not know. What it was trained on stands in models/README.md.

Two convolutions over time, some weighted means over all of it (attentive pooling: Okabe, Koshinaka and Shinoda 2018,
arXiv:1803.10963), and a chance for each word and each beginning: of several such nets, whose scores are added.
"""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from assistant.shipped import shipped
from assistant.voice.ports import VoiceFault

KEYWORDS = shipped("models") / "keywords-en" / "keywords.npz"
_Floats = npt.NDArray[np.float32]


class _Net(NamedTuple):
    """Weights: of convolutions (taps, in, out), of what looks (looks, in), of the output (words, looks x in)."""

    first: _Floats
    first_bias: _Floats
    second: _Floats
    second_bias: _Floats
    look: _Floats
    look_bias: _Floats
    out: _Floats
    out_bias: _Floats
    before: _Floats
    before_bias: _Floats

    def scores(self, steps: _Floats) -> tuple[_Floats, _Floats]:
        """Return the score of each word, and of each beginning, for ``steps``, shape (steps, width)."""
        steps = np.maximum(_convolved(steps, self.first, self.first_bias, 1), 0)
        steps = np.maximum(_convolved(steps, self.second, self.second_bias, 2), 0)
        weights = steps @ self.look.T + self.look_bias
        weights = np.exp(weights - weights.max(axis=0))
        means = (weights / weights.sum(axis=0)).T @ steps
        return self.out @ means.ravel() + self.out_bias, self.before @ means.ravel() + self.before_bias


class KeywordClassifier:
    """Tells how likely each of its words is; one instance may serve several threads."""

    def __init__(self, path: Path, encoder: Path) -> None:
        """Read the net in ``path``, which was trained on what ``encoder`` makes of sound.

        Raises:
            VoiceFault: there is none, it is damaged, or it was trained on another encoder.
        """
        try:
            with np.load(path, allow_pickle=False) as told:
                self._words, self._before = ([str(one) for one in told[name]] for name in ("words", "before"))
                wanted = str(told["encoder"])
                net = {name: told[name].astype(np.float32) for name in told.files if name.startswith("net.")}
            self._mean, self._spread = net.pop("net.mean"), net.pop("net.spread")
            nets = {name.split(".")[1] for name in net}
            self._nets = [_Net(*(net[f"net.{number}.{part}"] for part in _Net._fields)) for number in sorted(nets)]
            known = (len(self._words), len(self._before))
            if not nets or any((one.out.shape[0], one.before.shape[0]) != known for one in self._nets):
                raise ValueError
        except (OSError, ValueError, KeyError, zipfile.BadZipFile) as fault:
            raise VoiceFault(
                f"The list of short words {path} is missing or damaged: install the program again."
            ) from fault
        with encoder.open("rb") as opened:
            is_ours = hashlib.file_digest(opened, "sha256").hexdigest() == wanted
        if not is_ours:
            raise VoiceFault(
                f"The list of short words {path} was made for another version of the extra for notes: install the "
                "version of both that belong together."
            )

    def chances(self, *heard: _Floats) -> tuple[Mapping[str, float], Mapping[str, float]]:
        """Return the chance (0 to 1) of each word to stand last, and of each beginning to stand before it.

        ``NO_KEYWORD`` has the chance of everything else; the beginning "", that nothing stands before the word.
        ``heard`` is what the encoder makes of the sound, shape (steps, width), each way that there is of it: their
        scores are added as those of the nets are.
        """
        each = [net.scores((way - self._mean) / self._spread) for way in heard for net in self._nets]
        words, before = (_chances(np.mean(scores, axis=0)) for scores in zip(*each, strict=True))
        return dict(zip(self._words, words, strict=True)), dict(zip(self._before, before, strict=True))


def _chances(scores: _Floats) -> list[float]:
    """Return the chances that ``scores`` give, four digits of each."""
    chances = np.exp(scores - scores.max())
    return [round(float(one), 4) for one in chances / chances.sum()]


def _convolved(steps: _Floats, weights: _Floats, bias: _Floats, apart: int) -> _Floats:
    """Return ``steps``, shape (n, in), convolved with ``weights``, shape (taps, in, out), ``apart`` steps apart."""
    taps = weights.shape[0]
    reach = apart * (taps // 2)
    wide = np.pad(steps, ((reach, reach), (0, 0)))
    found = np.tile(bias, (steps.shape[0], 1))
    for tap in range(taps):
        found += wide[tap * apart : tap * apart + steps.shape[0]] @ weights[tap]
    return found
