"""Stage 3: train the net by LF-MMI on augmented speech, with a fixed number of steps and fixed seeds."""

from __future__ import annotations

import json
import math
import time
from dataclasses import dataclass
from pathlib import Path

import torch
from torch import Tensor, nn

from models.recipe.augment import Conditions
from models.recipe.batches import Batches, read_pairs
from models.recipe.feeders import Feeders, Wanted
from models.recipe.lexicon import Lexicon
from models.recipe.lfmmi import Denominator, Numerator, Outcome, objective
from models.recipe.net import SUBSAMPLING, Net, Size, load_net
from models.recipe.reopen import reopened

WARM_UP = 400
"""Steps until the learning rate has risen to its full value."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How long and how fast to train. ``frames`` is the number of output frames in a batch."""

    steps: int = 11_500
    frames: int = 24_000
    rate: float = 1e-3
    score_decay: float = 5e-5
    weight_decay: float = 0.02
    average: float = 0.999
    seed: int = 1
    seconds_at_most: float = math.inf
    """Where the machine is lent for a time only: steps that would not fit are given up after the first 500."""
    read_again: tuple[float, ...] = ()
    """Shares of the steps after which the parts are read again, where speech is still being made meanwhile."""
    start: Path | None = None
    """A checkpoint or a finished model directory to go on from; without one the net starts from random weights."""
    feeders: int = 0
    """Processes that draw batches (see ``feeders``); 0 draws them in this process."""


class Step:
    """One step of training. On a GPU the whole step is recorded once for each shape of batch, as a CUDA graph.

    A step is some ten thousand small operations, and starting them one by one takes longer than they do. The first
    batch of a shape is trained on as usual, which also warms up the libraries; the second one is recorded.
    """

    def __init__(self, net: Net, optimiser: torch.optim.Optimizer, denominator: Denominator, decay: float) -> None:
        self._net, self._optimiser, self._denominator, self._decay = net, optimiser, denominator, decay
        self._seen: set[tuple[int, ...]] = set()
        self._recorded: dict[tuple[int, ...], tuple[torch.cuda.CUDAGraph, Tensor, Numerator, Outcome]] = {}
        self._pool = torch.cuda.graph_pool_handle() if torch.cuda.is_available() else None

    def __call__(self, features: Tensor, numerator: Numerator) -> Outcome:
        """Train on one batch, features (batch, frames, 40); return the objective before the step."""
        shape = (*features.shape, *numerator.states.shape)
        if not features.is_cuda or shape not in self._seen:
            self._seen.add(shape)
            return self._train(features, numerator)
        if shape not in self._recorded:
            self._recorded[shape] = self._record(features, numerator)
        graph, features_in, numerator_in, outcome = self._recorded[shape]
        features_in.copy_(features, non_blocking=True)
        for target, column in zip(numerator_in, numerator, strict=True):
            target.copy_(column, non_blocking=True)
        graph.replay()
        return outcome

    def forget(self) -> None:
        """Drop what was recorded: batches will have other shapes from now on."""
        self._recorded.clear()
        # With its last graph the old pool of memory is gone.
        self._pool = torch.cuda.graph_pool_handle() if torch.cuda.is_available() else None

    def _train(self, features: Tensor, numerator: Numerator) -> Outcome:
        self._optimiser.zero_grad(set_to_none=True)
        scores = self._net(features)
        with torch.no_grad():
            given = scores.detach()
            outcome = objective(given, numerator, self._denominator)
            slope = (self._decay * given - outcome.gradient) / (given.shape[0] * given.shape[1])
        scores.backward(slope)
        nn.utils.clip_grad_norm_(self._net.parameters(), 1.0)
        self._optimiser.step()
        return outcome

    def _record(
        self, features: Tensor, numerator: Numerator
    ) -> tuple[torch.cuda.CUDAGraph, Tensor, Numerator, Outcome]:
        features_in, numerator_in = features.clone(), Numerator(*(column.clone() for column in numerator))
        self._optimiser.zero_grad(set_to_none=True)
        graph = torch.cuda.CUDAGraph()
        # The graphs run one after another and keep nothing for each other, so they may share their memory.
        with torch.cuda.graph(graph, pool=self._pool):
            outcome = self._train(features_in, numerator_in)
        return graph, features_in, numerator_in, outcome


class Average:
    """A running mean of the weights, which is what gets saved: steadier than the weights of any single step."""

    def __init__(self, net: Net, most: float) -> None:
        self._net, self._most = net, most
        # The tensors stay where they are: training changes them in place.
        self._present = {name: value for name, value in net.state_dict().items() if value.is_floating_point()}
        self._mean = {name: value.clone() for name, value in self._present.items()}

    @torch.no_grad()
    def update(self, step: int) -> None:
        """Move the mean towards the present weights; ``step`` counts from 1."""
        keep = min(self._most, 1 - 4.0 / (step + 8))
        torch._foreach_lerp_(list(self._mean.values()), list(self._present.values()), 1 - keep)

    def save(self, path: Path) -> None:
        """Write the mean, large tables in 16 bits."""
        saved = self._net.checkpoint()
        weights = {
            name: (mean.half() if mean.numel() > 5000 else mean.float()).cpu() for name, mean in self._mean.items()
        }
        partial = path.with_suffix(".part")
        torch.save({"size": saved["size"], "weights": weights}, partial)
        partial.replace(path)


def train(parts: Path, words: Lexicon, out: Path, plan: Plan, size: Size | None = None) -> Path:
    """Train on the parts in ``parts``; write checkpoints and ``train.jsonl`` to ``out``; return the last checkpoint."""
    begun = time.monotonic()
    out.mkdir(parents=True, exist_ok=True)
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(plan.seed)
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = True
    pairs, sources = read_pairs(parts, words, plan.seed)
    wanted = Wanted(parts, device, plan.frames, plan.seed, Conditions(), pairs)

    def source() -> Feeders | Batches:
        if plan.feeders:
            return Feeders(wanted, plan.feeders)
        return Batches(parts, words, device, plan.frames, plan.seed, wanted.conditions, pairs)

    batches, coming = source(), None
    if plan.start and plan.start.is_dir():
        # One batch has thousands of frames, which is enough for means.
        net = reopened(plan.start, batches.draw()[1].cpu()).to(device)
    else:
        net = (load_net(str(plan.start)) if plan.start else Net(size)).to(device)
    if not plan.start:
        with torch.no_grad():
            seen = torch.cat([batches.draw()[1].reshape(-1, 40) for _ in range(6)])
            net.feature_mean.copy_(seen.mean(0))
            net.feature_deviation.copy_(seen.std(0))
    pair_weights = [net.of_state, net.of_left]
    others = [weight for weight in net.parameters() if all(weight is not pair for pair in pair_weights)]
    rate_now = torch.tensor(plan.rate, device=device)
    optimiser = torch.optim.AdamW(
        [{"params": others, "weight_decay": plan.weight_decay},
         {"params": pair_weights, "weight_decay": 5 * plan.weight_decay}],
        lr=rate_now if device == "cuda" else plan.rate, betas=(0.9, 0.98), fused=device == "cuda",
        capturable=device == "cuda",
    )  # fmt: skip
    denominator = Denominator.of(pairs, device)
    average, learn = Average(net, plan.average), Step(net, optimiser, denominator, plan.score_decay)
    steps, warm = plan.steps, begun
    net.train()
    with (out / "train.jsonl").open("w", encoding="utf-8", buffering=1) as log:
        log.write(json.dumps({"weights": sum(weight.numel() for weight in net.parameters())}) + "\n")
        log.write(json.dumps({"sources": sources}) + "\n")
        step = 0
        while step < steps:
            rate = plan.rate * min(1, (step + 1) / WARM_UP) * (0.5 * (1 + math.cos(math.pi * step / steps)) + 0.003)
            for group in optimiser.param_groups:
                group["lr"] = rate_now.fill_(rate) if device == "cuda" else rate
            _, features, numerator = batches.draw()
            outcome = learn(features, numerator)
            step += 1
            average.update(step)
            if step == 200:
                warm = time.monotonic()
            if step == 500 and plan.seconds_at_most < math.inf:
                left, each = plan.seconds_at_most - (time.monotonic() - begun), (time.monotonic() - warm) / 300
                steps = min(steps, step + int(left / each))
            if step in {round(steps * share) for share in plan.read_again}:
                coming = source()
            if coming and (isinstance(coming, Batches) or coming.ready()):
                if isinstance(batches, Feeders):
                    batches.close()
                batches, coming = coming, None
                learn.forget()
                log.write(json.dumps({"step": step, "sources": read_pairs(parts, words, plan.seed)[1]}) + "\n")
            if step % 100 == 0 or step < 5 or step == steps:
                frames = len(features) * (-(-features.shape[1] // SUBSAMPLING))
                value = ((outcome.numerator - outcome.denominator) * outcome.fits).sum() / frames
                log.write(json.dumps({"step": step, "of": steps, "seconds": round(time.monotonic() - begun, 1),
                                      "objective": round(float(value), 5), "rate": rate,
                                      "fits": float(outcome.fits.float().mean())}) + "\n")  # fmt: skip
            if step % 1000 == 0:
                average.save(out / "checkpoint.pt")
    average.save(out / "final.pt")
    if isinstance(batches, Feeders):
        batches.close()
    return out / "final.pt"
