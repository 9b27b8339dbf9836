"""The objective: lattice-free MMI (Povey et al., Interspeech 2016) with exact sums and a gradient written by hand.

The objective of an utterance is log(sum over the paths of its transcript) - log(sum over all paths). Both sums run
forward through all frames; one backward pass gives the gradient. A test compares it with automatic differentiation.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
import torch
from torch import Tensor

from models.recipe.phone_pairs import PairModel, Tables

_TINY32, _TINY64, _LOST = 1e-30, 1e-300, 1e-200


@dataclass(frozen=True, slots=True)
class Denominator:
    """The pair model on the device, 32-bit."""

    start: Tensor
    follow: Tensor
    follow_back: Tensor
    end: Tensor

    @classmethod
    def of(cls, pairs: PairModel, device: str | torch.device) -> Denominator:
        """Return ``pairs`` on ``device``."""
        start, follow, end = (
            torch.tensor(table, dtype=torch.float32, device=device) for table in (pairs.start, pairs.follow, pairs.end)
        )
        return cls(start, follow, follow.t().contiguous(), end)


class Numerator(NamedTuple):
    """``phone_pairs.Tables`` on the device: states (B, N) int64; the rest (B, N) float64."""

    states: Tensor
    from_previous: Tensor
    from_before_previous: Tensor
    first: Tensor
    last: Tensor

    @classmethod
    def of(cls, tables: Tables, device: str | torch.device) -> Numerator:
        """Return ``tables`` on ``device``."""
        columns = (tables.states, tables.from_previous, tables.from_before_previous, tables.first, tables.last)
        return cls(*(torch.tensor(np.ascontiguousarray(column), device=device) for column in columns))

    def rows(self, index: Tensor) -> Numerator:
        """Return the rows named by ``index``, shape (B,)."""
        return Numerator(*(column[index] for column in self))


class Outcome(NamedTuple):
    """Gradient of (numerator - denominator) for the scores; both logs, shape (B,); whether the transcript fits."""

    gradient: Tensor
    numerator: Tensor
    denominator: Tensor
    fits: Tensor


def objective(scores: Tensor, numerator: Numerator, denominator: Denominator) -> Outcome:
    """Return objective and gradient for ``scores``, shape (B, frames, 2, S): first-frame and stay score of each state.

    All frames are used. Call it without automatic differentiation.
    """
    peak = scores.amax((2, 3), keepdim=True)
    likely = (scores - peak).exp()
    enter, stay = likely[:, :, 0], likely[:, :, 1]
    # The two sums are long rows of small operations: on a GPU they run side by side.
    if scores.is_cuda:
        here, side = torch.cuda.current_stream(), _side_stream(scores.device)
        side.wait_stream(here)
        with torch.cuda.stream(side):
            ours = _transcript_paths(enter, stay, numerator)
        gradient, log_all = _all_paths(likely, enter, stay, denominator)
        here.wait_stream(side)
    else:
        gradient, log_all = _all_paths(likely, enter, stay, denominator)
        ours = _transcript_paths(enter, stay, numerator)
    log_ours, fits, enter_part, stay_part, index = ours
    kept = fits.float()[:, None, None]
    gradient[:, :, 0].mul_(kept).scatter_add_(2, index, enter_part)
    gradient[:, :, 1].mul_(kept).scatter_add_(2, index, stay_part)
    offset = peak[:, :, 0, 0].sum(1)
    return Outcome(gradient, log_ours.float() + offset, log_all + offset, fits)


@functools.cache
def _side_stream(device: torch.device) -> torch.cuda.Stream:
    return torch.cuda.Stream(device)


def _all_paths(likely: Tensor, enter: Tensor, stay: Tensor, model: Denominator) -> tuple[Tensor, Tensor]:
    """Sum over all paths, in 32 bits with each frame scaled to one; return minus its gradient, and its log."""
    batch, frames, count = enter.shape
    device = enter.device
    forward, arrived = (torch.empty(frames, batch, count, device=device) for _ in range(2))
    scale = torch.empty(frames, batch, 1, device=device)
    arrived[0] = model.start
    value = arrived[0] * enter[:, 0]
    scale[0] = value.sum(1, keepdim=True) + _TINY32
    forward[0] = value / scale[0]
    for t in range(1, frames):
        arrived[t] = forward[t - 1] @ model.follow
        value = torch.addcmul(arrived[t] * enter[:, t], forward[t - 1], stay[:, t])
        scale[t] = value.sum(1, keepdim=True) + _TINY32
        torch.div(value, scale[t], out=forward[t])
    total = (forward[frames - 1] * model.end).sum(1, keepdim=True) + _TINY32
    log_total = (scale.log().sum(0) + total.log())[:, 0]
    gradient = torch.empty_like(likely)
    backward = (model.end / total).expand(batch, count)
    for t in range(frames - 1, 0, -1):
        scaled = backward / scale[t]
        by_enter, by_stay = scaled * enter[:, t], scaled * stay[:, t]
        gradient[:, t, 0] = -(arrived[t] * by_enter)
        gradient[:, t, 1] = -(forward[t - 1] * by_stay)
        backward = by_enter @ model.follow_back + by_stay
    gradient[:, 0, 0] = -(arrived[0] * enter[:, 0] * backward / scale[0])
    gradient[:, 0, 1] = 0
    return gradient, log_total


def _transcript_paths(enter: Tensor, stay: Tensor, ours: Numerator) -> tuple[Tensor, Tensor, Tensor, Tensor, Tensor]:
    """Sum over the paths of the transcript, in 64 bits; return its log, whether it fits, its gradients and where."""
    batch, frames, _ = enter.shape
    width, device = ours.states.shape[1], enter.device
    index = ours.states[:, None, :].expand(batch, frames, width)
    enters, stays = (side.gather(2, index).double().transpose(0, 1).contiguous() for side in (enter, stay))

    def empty(last: int, extra: int = 0) -> Tensor:
        return torch.zeros(frames, batch, last + extra, device=device, dtype=torch.float64)

    forward, arrived, scale = empty(width, 2), empty(width), empty(1)
    arrived[0] = ours.first
    value = ours.first * enters[0]
    scale[0] = value.sum(1, keepdim=True) + _TINY64
    forward[0, :, 2:] = value / scale[0]
    for t in range(1, frames):
        before = forward[t - 1]
        torch.addcmul(before[:, 1:-1] * ours.from_previous, before[:, :-2], ours.from_before_previous, out=arrived[t])
        value = torch.addcmul(arrived[t] * enters[t], before[:, 2:], stays[t])
        scale[t] = value.sum(1, keepdim=True) + _TINY64
        torch.div(value, scale[t], out=forward[t, :, 2:])
    total = (forward[frames - 1, :, 2:] * ours.last).sum(1, keepdim=True)
    log_total = (scale.log().sum(0) + (total + _TINY64).log())[:, 0]
    fits = total > _LOST
    backward = ours.last / (total + _TINY64) * fits
    enter_part, stay_part = empty(width), empty(width)
    one, two = (torch.zeros(batch, width + 2, device=device, dtype=torch.float64) for _ in range(2))
    for t in range(frames - 1, 0, -1):
        scaled = backward / scale[t]
        by_enter, by_stay = scaled * enters[t], scaled * stays[t]
        enter_part[t] = arrived[t] * by_enter
        stay_part[t] = forward[t - 1, :, 2:] * by_stay
        torch.mul(by_enter, ours.from_previous, out=one[:, :width])
        torch.mul(by_enter, ours.from_before_previous, out=two[:, :width])
        backward = one[:, 1:-1] + two[:, 2:] + by_stay
    enter_part[0] = arrived[0] * enters[0] * backward / scale[0]
    parts = (side.transpose(0, 1).float() for side in (enter_part, stay_part))
    return log_total, fits[:, 0], *parts, index
