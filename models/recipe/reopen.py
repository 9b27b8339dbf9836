"""Reads a finished model directory back into a net that training can go on from: nets go on from nets.

The exported net (``export``) has its batch norms folded away. Here each norm gets the mean that its layer has on a
batch of today's features, and the layers behind it what that takes away, so the net that comes out scores as the
file does (a test compares them), and its norms can learn again.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from assistant.voice.own.tables import TableValues as Floats
from assistant.voice.own.tables import tables
from models.recipe.net import LARGEST_SCORE, Net, Size, convolved, normed
from models.recipe.phones import BASE, LEFT_OF_STATE, PHONE_OF_STATE, STATES


def read_layers(record: bytes) -> dict[str, tuple[Floats, Floats]]:
    """Return weights, shape (out, in), and bias, shape (out,), of each affine component of a ``final.mdl``.

    Raises:
        ValueError: a component is written in a way that ``kaldi`` does not write.
    """
    return {name: (weights.read(record), bias.read(record)) for name, weights, bias in tables(record)}


def reopened(folder: Path, features: Tensor) -> Net:
    """Return the net of the model directory ``folder``, its norms set on ``features``, shape (batch, frames, 40).

    Raises:
        OSError: there is no net in the folder.
        ValueError: it is no net of this recipe.
    """
    layers = read_layers((folder / "am/final.mdl").read_bytes())
    blocks = sum(name.endswith(".linear") for name in layers)
    size = Size(len(layers["input.affine"][1]), len(layers["third.affine"][1]), len(layers["block0.linear"][1]),
                blocks, len(layers["last"][1]))  # fmt: skip
    net = Net(size).eval()
    with torch.no_grad():
        _fill(net, layers, features.float().cpu())
    return net


def _fill(net: Net, layers: dict[str, tuple[Floats, Floats]], features: Tensor) -> None:
    """Go through the net layer by layer, as ``forward`` does, and give each what the file has for it."""
    net.feature_mean.copy_(features.reshape(-1, features.shape[-1]).mean(0))
    net.feature_deviation.copy_(features.reshape(-1, features.shape[-1]).std(0))
    mean, deviation = _numpy(net.feature_mean), _numpy(net.feature_deviation)
    x = (features - net.feature_mean) / net.feature_deviation

    def relu(layer: nn.Conv1d, norm: nn.BatchNorm1d, name: str, given: Tensor, gone: Floats, scale: Floats) -> Floats:
        """Set one affine layer whose input lacks ``gone`` and is divided by ``scale``; return what its norm takes."""
        weights, bias = layers[name]
        taps = layer.kernel_size[0]
        _set(layer, weights * np.tile(scale, taps), bias + weights @ np.tile(gone, taps))
        out = functional.relu(convolved(layer, given))
        return _settle(norm, out)

    gone = relu(net.input, net.input_norm, "input.affine", x, mean, deviation)
    x = normed(net.input_norm, functional.relu(convolved(net.input, x)))
    ones = np.ones(net.size.first)
    gone = relu(net.third, net.third_norm, "third.affine", x, gone, ones)
    x = normed(net.third_norm, functional.relu(convolved(net.third, x)))
    for number, (linear, wide, norm) in enumerate(zip(net.linear, net.affine, net.norm, strict=True)):
        weights, bias = layers[f"block{number}.linear"]
        _set(linear, weights, None)
        left = bias + weights @ np.tile(gone, 2)
        y = convolved(linear, x)
        own = relu(wide, norm, f"block{number}.affine", y, left, np.ones(net.size.narrow))
        x = x[:, 1:-1] + normed(norm, functional.relu(convolved(wide, y)))
        gone = gone + own
    weights, bias = layers["last"]
    _set(net.last, weights, None)
    _fill_states(net, layers["scores"], bias + weights @ gone + _settle(net.last_norm, convolved(net.last, x)))


def _settle(norm: nn.BatchNorm1d, out: Tensor) -> Floats:
    """Let ``norm`` take the mean of ``out`` away and leave its spread alone; return the mean."""
    norm.running_mean.copy_(out.reshape(-1, out.shape[-1]).mean(0))
    norm.running_var.fill_(1 - norm.eps)
    return _numpy(norm.running_mean)


def _fill_states(net: Net, scores: tuple[Floats, Floats], left: Floats) -> None:
    """Part the weights of each state into those of its phone, those of its left phone, and its own."""
    weights = scores[0].reshape(len(STATES), 2, -1).transpose(1, 0, 2) * LARGEST_SCORE
    bias = scores[1].reshape(len(STATES), 2).T * LARGEST_SCORE + weights @ left
    of_phone = np.stack([weights[:, phone == PHONE_OF_STATE].mean(1) for phone in range(len(BASE))], 1)
    rest = weights - of_phone[:, PHONE_OF_STATE]
    present = [np.any(phone == LEFT_OF_STATE) for phone in range(len(BASE))]
    of_left = np.stack([rest[:, phone == LEFT_OF_STATE].mean(1) if here else np.zeros_like(rest[:, 0])
                        for phone, here in enumerate(present)], 1)  # fmt: skip
    for parameter, values in ((net.of_phone, of_phone), (net.of_left, of_left),
                              (net.of_state, rest - of_left[:, LEFT_OF_STATE]), (net.state_bias, bias)):  # fmt: skip
        parameter.copy_(torch.tensor(values, dtype=torch.float32))


def _set(layer: nn.Conv1d, weights: Floats, bias: Floats | None) -> None:
    taps = layer.kernel_size[0]
    kernel = weights.reshape(len(weights), taps, -1).transpose(0, 2, 1)
    layer.weight.copy_(torch.tensor(kernel, dtype=torch.float32))
    if bias is not None and layer.bias is not None:
        layer.bias.copy_(torch.tensor(bias, dtype=torch.float32))


def _numpy(values: Tensor) -> Floats:
    return values.detach().double().cpu().numpy()
