"""The acoustic net: time-delay layers through narrow bottlenecks, made only of what the engine can compute.

40 MFCC at 100 frames/s -> convolution over 5 -> ReLU -> convolution over 3, every third frame -> ReLU -> ``blocks`` of
(narrow linear layer over frames t-1, t; wide affine layer over t, t+1; ReLU; batch norm; dropout; added to its input)
-> narrow linear layer -> two scores for each state -> 30 tanh(score / 30). After Povey et al., "Semi-orthogonal
low-rank matrix factorization for deep neural networks", Interspeech 2018 (TDNN-F).
"""

from __future__ import annotations

from dataclasses import asdict, dataclass

import torch
from torch import nn
from torch.nn import functional

from models.recipe.phones import BASE, LEFT_OF_STATE, PHONE_OF_STATE, STATES

LARGEST_SCORE = 30.0
"""Scores are squeezed into plus and minus this, so that probabilities stay within the range of the sums."""
SUBSAMPLING = 3


@dataclass(frozen=True, slots=True)
class Size:
    """Widths of the layers; the default has 7.6 million weights."""

    first: int = 256
    wide: int = 768
    narrow: int = 160
    blocks: int = 12
    last: int = 256


def convolved(layer: nn.Conv1d, x: torch.Tensor) -> torch.Tensor:
    """Return ``layer`` over the frames of ``x``, shape (batch, frames, in), as one product: no search for a kernel."""
    taps = layer.kernel_size[0]
    count = (x.shape[1] - taps) // layer.stride[0] + 1
    step = layer.stride[0]
    side_by_side = torch.cat([x[:, tap : tap + step * (count - 1) + 1 : step] for tap in range(taps)], 2)
    return functional.linear(side_by_side, layer.weight.permute(0, 2, 1).flatten(1), layer.bias)


def normed(norm: nn.Module, x: torch.Tensor) -> torch.Tensor:
    """Return the batch norm of ``x``, shape (batch, frames, channels), over batch and frames."""
    return norm(x.flatten(0, 1)).view(x.shape)  # type: ignore[no-any-return]


class Net(nn.Module):
    """Scores of all states for each third frame."""

    def __init__(self, size: Size | None = None, dropout: float = 0.1) -> None:
        super().__init__()
        self.size = size = size or Size()
        self.dropout = dropout
        self.register_buffer("feature_mean", torch.zeros(40))
        self.register_buffer("feature_deviation", torch.ones(40))
        self.input = nn.Conv1d(40, size.first, 5)
        self.input_norm = nn.BatchNorm1d(size.first, affine=False)
        self.third = nn.Conv1d(size.first, size.wide, 3, stride=SUBSAMPLING)
        self.third_norm = nn.BatchNorm1d(size.wide, affine=False)
        self.linear = nn.ModuleList(nn.Conv1d(size.wide, size.narrow, 2, bias=False) for _ in range(size.blocks))
        self.affine = nn.ModuleList(nn.Conv1d(size.narrow, size.wide, 2) for _ in range(size.blocks))
        self.norm = nn.ModuleList(nn.BatchNorm1d(size.wide, affine=False) for _ in range(size.blocks))
        self.last = nn.Conv1d(size.wide, size.last, 1, bias=False)
        self.last_norm = nn.BatchNorm1d(size.last, affine=False)
        # The weights of a state are those of its phone plus those of its left phone plus its own: rare pairs borrow.
        self.of_phone = nn.Parameter(torch.zeros(2, len(BASE), size.last))
        self.of_left = nn.Parameter(torch.zeros(2, len(BASE), size.last))
        self.of_state = nn.Parameter(torch.zeros(2, len(STATES), size.last))
        self.state_bias = nn.Parameter(torch.zeros(2, len(STATES)))
        self.register_buffer("phone_of_state", torch.tensor(PHONE_OF_STATE), persistent=False)
        self.register_buffer("left_of_state", torch.tensor(LEFT_OF_STATE), persistent=False)
        for layer in self.linear:
            nn.init.orthogonal_(layer.weight.data.view(size.narrow, -1))

    @property
    def context(self) -> int:
        """Input frames that are needed before (and after) an output frame."""
        return 2 + 1 + SUBSAMPLING * self.size.blocks

    def state_weights(self) -> tuple[torch.Tensor, torch.Tensor]:
        """Return the weights, shape (2, states, last), and biases, shape (2, states), of the scores before tanh."""
        weights = self.of_phone[:, self.phone_of_state] + self.of_left[:, self.left_of_state] + self.of_state
        return weights, self.state_bias

    def forward(self, features: torch.Tensor) -> torch.Tensor:
        """Return scores, shape (batch, ceil(frames / 3), 2, states), for features, shape (batch, frames, 40)."""
        frames = features.shape[1]
        outputs = (frames + SUBSAMPLING - 1) // SUBSAMPLING
        x = (features - self.feature_mean) / self.feature_deviation
        after = self.context + SUBSAMPLING * (outputs - 1) + 1 - frames
        x = torch.cat([x[:, :1].expand(-1, self.context, -1), x, x[:, -1:].expand(-1, after, -1)], 1)
        with torch.autocast(x.device.type, dtype=torch.bfloat16, enabled=x.is_cuda):
            x = normed(self.input_norm, functional.relu(convolved(self.input, x)))
            x = normed(self.third_norm, functional.relu(convolved(self.third, x)))
            for linear, affine, norm in zip(self.linear, self.affine, self.norm, strict=True):
                y = normed(norm, functional.relu(convolved(affine, convolved(linear, x))))
                if self.dropout and self.training:
                    # One mask for the whole sequence keeps the statistics of the batch norm steady.
                    mask = (torch.rand(y.shape[0], 1, y.shape[2], device=y.device) * 2 - 1) * (2 * self.dropout) + 1
                    y = y * mask.to(y.dtype)
                x = x[:, 1:-1] + y
            hidden = normed(self.last_norm, convolved(self.last, x))
        weights, bias = self.state_weights()
        scores = hidden.float() @ weights.reshape(2 * len(STATES), -1).t() + bias.reshape(-1)
        return (LARGEST_SCORE * torch.tanh(scores / LARGEST_SCORE)).view(*scores.shape[:2], 2, len(STATES))

    def checkpoint(self) -> dict[str, object]:
        """Return what ``load_net`` reads: sizes and weights."""
        return {"size": asdict(self.size), "weights": self.state_dict()}


def load_net(path: str) -> Net:
    """Return the net saved at ``path``, ready to score."""
    saved = torch.load(path, map_location="cpu", weights_only=True)
    net = Net(Size(**saved["size"]))
    net.load_state_dict({name: value.float() if value.is_floating_point() else value
                         for name, value in saved["weights"].items()}, strict=False)  # fmt: skip
    return net.eval()
