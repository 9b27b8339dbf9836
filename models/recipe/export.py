"""Stage 4: write a trained net as the ``am`` and ``conf`` of a Vosk model directory.

Batch norms are folded away: their positive scale goes into the affine layer before the ReLU, their mean is carried
along as a known offset and taken out of the bias of the next layer.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt
import torch
from torch import nn

from models.recipe import kaldi
from models.recipe.features import CEPSTRA, HIGH_HZ, LOW_HZ, MEL_BINS
from models.recipe.net import LARGEST_SCORE, SUBSAMPLING, Net
from models.recipe.phones import ENGINE_PHONES, STATES, TRANSITION_TUPLES

Floats = npt.NDArray[np.float64]
PRECISION = {8: kaldi.matrix_8, 16: kaldi.matrix_16, 32: kaldi.matrix_32}
NEVER = 1e-4
"""A channel whose output varies less than this (variance, against the squared length of its weights) never fires."""
DITHER = 1.0
"""Without dither digital silence gives features that no net ever saw."""


@dataclass(frozen=True, slots=True)
class Search:
    """How widely the engine searches. A wide lattice makes a free phone loop explode: 2 is enough for phrases."""

    beam: float = 9.0
    lattice_beam: float = 2.0
    max_active: int = 2000
    min_active: int = 200


@dataclass
class _Wiring:
    """Components and their connections, in the order they were added."""

    write: kaldi.MatrixWriter
    config: list[str] = field(default_factory=lambda: [f"input-node name=input dim={CEPSTRA}"])
    components: list[tuple[str, bytes]] = field(default_factory=list)

    def add(self, name: str, component: bytes, source: str) -> str:
        self.components.append((name, component))
        self.config.append(f"component-node name={name} component={name} input={source}")
        return name

    def affine(self, name: str, weights: Floats, bias: Floats, source: str) -> str:
        return self.add(name, kaldi.affine(weights, bias, self.write), source)

    def relu(self, name: str, width: int, source: str) -> str:
        return self.add(name, kaldi.nonlinear("RectifiedLinearComponent", width), source)


def export(net: Net, folder: Path, bits: int = 16, search: Search | None = None) -> None:
    """Write ``net`` with weights of ``bits`` (8, 16 or 32) to ``folder``."""
    (folder / "am").mkdir(parents=True, exist_ok=True)
    (folder / "conf").mkdir(exist_ok=True)
    tuples = [(phone, 2 * state, 2 * state + 1) for phone, state in TRANSITION_TUPLES]
    transitions = kaldi.transition_model(len(ENGINE_PHONES), tuples)
    wiring = _wire(net.eval(), PRECISION[bits])
    record = b"\0B" + transitions + kaldi.network(wiring.config, wiring.components, net.context)
    (folder / "am/final.mdl").write_bytes(record)
    (folder / "conf/mfcc.conf").write_text(
        f"--use-energy=false\n--num-mel-bins={MEL_BINS}\n--num-ceps={CEPSTRA}\n--low-freq={LOW_HZ:.0f}\n"
        f"--high-freq={HIGH_HZ:.0f}\n--dither={DITHER}\n"
    )
    search = search or Search()
    (folder / "conf/model.conf").write_text(
        f"--min-active={search.min_active}\n--max-active={search.max_active}\n--beam={search.beam}\n"
        f"--lattice-beam={search.lattice_beam}\n--acoustic-scale=1.0\n--frame-subsampling-factor={SUBSAMPLING}\n"
        "--endpoint.silence-phones=1:2:3\n--endpoint.rule2.min-trailing-silence=0.5\n"
        "--endpoint.rule3.min-trailing-silence=1.0\n--endpoint.rule4.min-trailing-silence=2.0\n"
    )


def _wire(net: Net, write: kaldi.MatrixWriter) -> _Wiring:
    """Return the net as components; every layer takes out the offset that the layers before it left in their sums."""
    wiring = _Wiring(write)
    mean, deviation = _array(net.feature_mean), _array(net.feature_deviation)
    taps = net.input.kernel_size[0]
    weights = _flat(net.input) / np.tile(deviation, taps)
    bias = _array(net.input.bias) - weights @ np.tile(mean, taps)
    x, offset = _relu_layer(wiring, "input", weights, bias, net.input_norm, _spliced("input", range(-2, 3)))
    weights = _flat(net.third)
    bias = _array(net.third.bias) - weights @ np.tile(offset, 3)
    x, offset = _relu_layer(wiring, "third", weights, bias, net.third_norm, _spliced(x, (-1, 0, 1)))
    for number, (linear, wide, norm) in enumerate(zip(net.linear, net.affine, net.norm, strict=True)):
        name, weights = f"block{number}", _flat(linear)
        narrow = wiring.affine(f"{name}.linear", weights, -weights @ np.tile(offset, 2), _spliced(x, (-SUBSAMPLING, 0)))
        source = _spliced(narrow, (0, SUBSAMPLING))
        y, own = _relu_layer(wiring, name, _flat(wide), _array(wide.bias), norm, source)
        x = wiring.add(f"{name}.sum", kaldi.unchanged(len(own)), f"Sum({x}, {y})")
        offset = offset + own
    scale, mean = _norm(net.last_norm)
    weights = _flat(net.last) * scale[:, None]
    x = wiring.affine("last", weights, -scale * mean - weights @ offset, x)
    table, state_bias = net.state_weights()
    weights = _array(table).transpose(1, 0, 2).reshape(2 * len(STATES), -1) / LARGEST_SCORE
    x = wiring.affine("scores", weights, _array(state_bias).T.reshape(-1) / LARGEST_SCORE, x)
    x = wiring.add("squeezed", kaldi.nonlinear("TanhComponent", 2 * len(STATES)), x)
    x = wiring.add("stretched", kaldi.scaled(np.full(2 * len(STATES), LARGEST_SCORE)), x)
    wiring.config.append(f"output-node name=output input={x} objective=linear")
    return wiring


def _relu_layer(
    wiring: _Wiring, name: str, weights: Floats, bias: Floats, norm: nn.Module, source: str
) -> tuple[str, Floats]:
    """Add affine and ReLU with the norm's scale folded in; return the node and the mean that is still in its output.

    A channel that never fires is written as zeros: its norm divides by next to nothing, and one row of such weights
    would leave all others of the table a handful of the steps that 16 bits have.
    """
    scale, mean = _norm(norm)
    fires = 1 / scale**2 > NEVER * (weights**2).sum(1)
    weights, bias, scale, mean = (np.where(fires, values.T, 0.0).T for values in (weights, bias, scale, mean))
    node = wiring.affine(f"{name}.affine", weights * scale[:, None], bias * scale, source)
    return wiring.relu(f"{name}.relu", len(bias), node), mean * scale


def _array(values: torch.Tensor) -> Floats:
    return values.detach().double().numpy()


def _flat(layer: nn.Module) -> Floats:
    """Return the kernel of a convolution as the matrix for spliced frames, shape (out, taps * in)."""
    kernel = _array(layer.weight)  # type: ignore[arg-type]
    return kernel.transpose(0, 2, 1).reshape(len(kernel), -1)


def _norm(norm: nn.Module) -> tuple[Floats, Floats]:
    """Return scale and mean of a batch norm without weights of its own."""
    return 1 / np.sqrt(_array(norm.running_var) + norm.eps), _array(norm.running_mean)  # type: ignore[arg-type, operator]


def _spliced(source: str, offsets: range | tuple[int, ...]) -> str:
    """Return the wiring that puts frames at ``offsets`` side by side."""
    frames = [source if offset == 0 else f"Offset({source}, {offset})" for offset in offsets]
    return f"Append({', '.join(frames)})"
