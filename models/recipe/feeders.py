"""Processes that draw batches ahead of training, so that the net does not wait while sound is mixed.

Mixing a batch takes hundreds of small operations, and starting them costs a slow processor more time than the GPU needs
for them. Where there is a second GPU, they mix there. Feeders draw in turn: with the same seed and the same parts the
batches are the same in every run.
"""

from __future__ import annotations

import queue
from pathlib import Path
from typing import NamedTuple

import torch
from torch import Tensor, multiprocessing

from models.recipe.augment import Conditions
from models.recipe.batches import Batches
from models.recipe.lexicon import Lexicon, training_words
from models.recipe.lfmmi import Numerator
from models.recipe.phone_pairs import PairModel

AHEAD = 4
"""Batches that each feeder keeps ready."""


class Wanted(NamedTuple):
    """What batches to draw; ``pairs`` is the pair model that the denominator uses as well."""

    parts: Path
    device: str
    frames: int
    seed: int
    conditions: Conditions
    pairs: PairModel


class Feeders:
    """``count`` processes that read all parts now there and draw batches of them in turn."""

    def __init__(self, wanted: Wanted, count: int) -> None:
        context = multiprocessing.get_context("spawn")
        second = wanted.device == "cuda" and torch.cuda.device_count() > 1
        mixing = "cuda:1" if second else wanted.device
        self._queues = [context.Queue(AHEAD) for _ in range(count)]
        self._processes = [
            context.Process(
                target=_feed, args=(wanted._replace(seed=wanted.seed + 1000 * number, device=mixing), line), daemon=True
            )
            for number, line in enumerate(self._queues)
        ]
        for process in self._processes:
            process.start()
        self._turn = 0
        self._device = wanted.device

    def ready(self) -> bool:
        """Return whether every feeder has a batch."""
        return all(not line.empty() for line in self._queues)

    def draw(self) -> tuple[int, Tensor, Numerator]:
        """Return the next batch, as ``Batches.draw`` does.

        Raises:
            RuntimeError: a feeder has ended (its own message is on the standard error stream).
        """
        line, process = self._queues[self._turn], self._processes[self._turn]
        while True:
            try:
                bucket, features, numerator = line.get(timeout=5)
                break
            except queue.Empty:
                if not process.is_alive():
                    raise RuntimeError(f"Feeder {self._turn} has ended.") from None
        self._turn = (self._turn + 1) % len(self._queues)
        return bucket, self._bring(features), Numerator(*(self._bring(column) for column in numerator))

    def _bring(self, drawn: Tensor) -> Tensor:
        """Return ``drawn`` on the device; from pinned memory, so that the net's work goes on during the copy."""
        if torch.device(self._device).type == "cpu":
            return drawn
        return drawn.pin_memory().to(self._device, non_blocking=True)

    def close(self) -> None:
        """End the processes."""
        for process in self._processes:
            process.terminate()


def _feed(wanted: Wanted, line: multiprocessing.Queue[tuple[int, Tensor, tuple[Tensor, ...]]]) -> None:
    torch.set_num_threads(1)
    words: Lexicon = training_words()
    batches = Batches(wanted.parts, words, wanted.device, wanted.frames, wanted.seed, wanted.conditions, wanted.pairs)
    while True:
        bucket, features, numerator = batches.draw()
        line.put((bucket, features.cpu(), tuple(column.cpu() for column in numerator)))
