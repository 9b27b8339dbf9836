"""Training clips sorted into buckets of fixed length, and batches drawn from them.

Every batch of a bucket has the same shape, so there are no padding masks and the sums can be recorded as CUDA graphs.
"""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor

from models.recipe import phone_pairs
from models.recipe.augment import Augment, Conditions, Pool
from models.recipe.blocks import RATE, Clip, read_index, training_parts
from models.recipe.features import HOP, WARPS, WINDOW, Mfcc, mask_bands
from models.recipe.lexicon import Lexicon, british
from models.recipe.lfmmi import Numerator
from models.recipe.net import SUBSAMPLING

FRAMES_OF_BUCKET = (50, 66, 84, 106, 134, 170, 215, 272, 345, 440)
"""Output frames (30 ms) of the windows."""
WEIGHT = {
    "gsc_9words": 3.0, "felix_one_speaker": 1.0, "fsdd": 0.7, "hymel_phrases": 1.2, "speechocean762": 2.0,
    "librispeech_part": 4.0, "ljspeech_part": 2.0, "asterisk_en_us": 2.0, "gsc_more_people": 6.0, "gsc_small": 6.0,
    "coswara_parts": 8.0, "coswara_count": 8.0, "common_voice_en": 3.0, "vctk_p239": 1.0, "art4apps_en": 1.0,
    "joined": 1.2,
}  # fmt: skip
"""How often a recording of each set is drawn, against the others."""
SHARE = {
    "natural-command": 7500.0, "natural-isolated": 4500.0, "natural-number": 7500.0, "natural-near": 6000.0,
    "natural-company": 6000.0, "synthetic-command": 7000.0, "synthetic-isolated": 1500.0, "synthetic-number": 7000.0,
    "synthetic-near": 3500.0, "synthetic-company": 5600.0,
}  # fmt: skip
"""How often anything is drawn from each kind of synthetic speech, however many clips it has, on the same scale.
Together with WEIGHT: half of what the net hears is human. With a third of synthetic voices it forgot, in 41,000
steps, how these say *fourteen*, and which words are one sound away from a phrase."""
MOST_OFTEN = 3.0
"""No synthetic clip is drawn more often than this (a kind of which little has been made yet)."""
IMPULSIVE = frozenset({"hammering", "hammer_drop", "medicine_ball_drop", "dog bark", "person sneeze", "clock tick"})
OTHER_WAY = 0.3
"""Share of draws with another pronunciation than the first."""
_LEAD = 400
"""Samples left free before and after the speech."""


@dataclass(frozen=True, slots=True)
class Bucket:
    """Clips (numbers, shape (n,)) that fit windows of ``frames`` output frames, with two numerator rows for each."""

    frames: int
    clips: np.ndarray
    chance: np.ndarray
    weight: float
    batch: int
    numerator: Numerator

    @property
    def samples(self) -> int:
        """Samples of a window."""
        return WINDOW + HOP * (SUBSAMPLING * self.frames - 1)


class Batches:
    """Draws augmented batches: features and the numerator that goes with them."""

    def __init__(
        self,
        parts: Path,
        words: Lexicon,
        device: str,
        frames_per_batch: int,
        seed: int,
        conditions: Conditions,
        pairs: phone_pairs.PairModel | None = None,
    ) -> None:
        self.device, self.conditions = device, conditions
        self.random = np.random.default_rng(seed)
        speech = read_index(parts, training_parts(parts))
        noise = read_index(parts, ("train-noise",))
        self.clips = [clip for clip in speech if clip.text]
        samples, starts = _load(parts, [*speech, *noise], device)
        self._length = np.array([clip.length for clip in self.clips])
        paths = _paths(self.clips, words, random.Random(seed))
        weights = clip_weights([clip.source for clip in self.clips])
        self.pairs = pairs or _pair_model(paths, weights)
        self.buckets = self._fill_buckets(paths, weights, frames_per_batch)
        chances = np.array([bucket.weight * bucket.frames for bucket in self.buckets])
        self._chance = chances / chances.sum()
        generator = torch.Generator(device=device)
        generator.manual_seed(seed)

        def pool(clips: list[Clip]) -> Pool:
            where = [starts[clip.block] + clip.start for clip in clips]
            length = [clip.length for clip in clips]
            return Pool(samples, torch.tensor(where, device=device), torch.tensor(length, device=device))

        bangs = [number for number, clip in enumerate(noise) if clip.text in IMPULSIVE] or [0]
        self._augment = Augment(pool(self.clips), pool(noise), torch.tensor(bangs, device=device), generator)
        self._mfcc, self._mask = Mfcc(device), mask_bands(generator)

    def _fill_buckets(
        self, paths: list[tuple[phone_pairs.Path, phone_pairs.Path]], weights: np.ndarray, frames_per_batch: int
    ) -> list[Bucket]:
        """Sort the clips by length; short clips also get a window one size larger."""
        members: list[list[int]] = [[] for _ in FRAMES_OF_BUCKET]
        sizes = [WINDOW + HOP * (SUBSAMPLING * frames - 1) for frames in FRAMES_OF_BUCKET]
        for number, length in enumerate(self._length):
            fitting = next((k for k, size in enumerate(sizes) if size >= length + RATE // 4), None)
            needed = sum(not skip for skip in paths[number][0].optional)
            if fitting is None or length / 1.2 / (SUBSAMPLING * HOP) < needed:
                continue
            members[fitting].append(number)
            if FRAMES_OF_BUCKET[fitting] < 106:
                members[fitting + 1].append(number)
        buckets = []
        for frames, ids in zip(FRAMES_OF_BUCKET, members, strict=True):
            if not ids:
                continue
            rows = [way for number in ids for way in paths[number]]
            rows += [phone_pairs.SILENCE_ONLY, phone_pairs.NOISE_ONLY]
            tables = phone_pairs.numerator_tables(rows, self.pairs, max(4, *(len(row.states) for row in rows)))
            weight = weights[ids]
            buckets.append(
                Bucket(frames, np.array(ids), weight / weight.sum(), float(weight.sum()),
                       max(2, frames_per_batch // frames), Numerator.of(tables, self.device))
            )  # fmt: skip
        return buckets

    def draw(self, noise_only: float = 0.06) -> tuple[int, Tensor, Numerator]:
        """Return the number of a bucket, features (batch, frames, 40) and the numerator of a new batch.

        ``noise_only`` is the share of windows without speech.
        """
        place = int(self.random.choice(len(self.buckets), p=self._chance))
        bucket, rng = self.buckets[place], self.random
        batch, samples = bucket.batch, bucket.samples
        member = rng.choice(len(bucket.clips), batch, p=bucket.chance)
        clips = bucket.clips[member]
        pace = np.where(rng.random(batch) < 0.9, np.exp(rng.uniform(math.log(0.84), math.log(1.2), batch)), 1.0)
        pace = np.maximum(pace, self._length[clips] / (samples - 4.0 * _LEAD))
        latest = np.maximum(_LEAD + 1, samples - self._length[clips] / pace - _LEAD)
        offset = rng.uniform(_LEAD, latest)
        empty, bang = rng.random(batch) < noise_only, rng.random(batch) < 0.5
        row = np.where(empty, 2 * len(bucket.clips) + bang, 2 * member + (rng.random(batch) < OTHER_WAY))

        def tensor(values: np.ndarray, kind: torch.dtype = torch.float32) -> Tensor:
            return torch.tensor(values, dtype=kind, device=self.device)

        with torch.no_grad():
            waves = self._augment(
                tensor(clips, torch.long), tensor(pace), tensor(offset), samples,
                tensor(empty, torch.bool), tensor(bang, torch.bool), self.conditions,
            )  # fmt: skip
            features = self._mfcc(waves, self._mask, tensor(rng.integers(len(WARPS), size=batch), torch.long))
        return place, features, bucket.numerator.rows(tensor(row, torch.long))


def read_pairs(parts: Path, words: Lexicon, seed: int) -> tuple[phone_pairs.PairModel, Counter[str]]:
    """Return the pair model of all transcripts for training, and how many clips there are of each source."""
    clips = [clip for clip in read_index(parts, training_parts(parts)) if clip.text]
    sources = [clip.source for clip in clips]
    return _pair_model(_paths(clips, words, random.Random(seed)), clip_weights(sources)), Counter(sources)


def _pair_model(paths: list[tuple[phone_pairs.Path, phone_pairs.Path]], weights: np.ndarray) -> phone_pairs.PairModel:
    """Estimate the pair model, with silence alone and noise alone in three of a hundred clips each."""
    share = weights.sum() * 0.03
    weighted = [(ways[0], weight) for ways, weight in zip(paths, weights, strict=True)]
    return phone_pairs.estimate_pairs([*weighted, (phone_pairs.SILENCE_ONLY, share), (phone_pairs.NOISE_ONLY, share)])


def clip_weights(sources: list[str]) -> np.ndarray:
    """Return how often each clip is drawn against the others, by its source, shape (clips,)."""
    count = Counter(sources)
    each = {source: min(MOST_OFTEN, SHARE[source] / count[source]) if source in SHARE else WEIGHT[source]
            for source in count}  # fmt: skip
    return np.array([each[source] for source in sources])


def _load(parts: Path, clips: list[Clip], device: str) -> tuple[Tensor, dict[str, int]]:
    """Return all blocks as one row of samples, and where each block begins in it."""
    blocks = {name: np.load(parts / name) for name in dict.fromkeys(clip.block for clip in clips)}
    starts = dict(zip(blocks, np.cumsum([0, *(len(block) for block in blocks.values())]).tolist(), strict=False))
    return torch.from_numpy(np.concatenate(list(blocks.values()))).to(device), starts


def _paths(clips: list[Clip], words: Lexicon, rng: random.Random) -> list[tuple[phone_pairs.Path, phone_pairs.Path]]:
    """Return two paths of each clip: with the first pronunciation of every word, and with any of them."""
    paths = []
    for clip in clips:
        ways = [words[word] for word in clip.text.split()]
        first, other = [way[0] for way in ways], [rng.choice(way) for way in ways]
        if clip.accent == "gb":
            first, other = [british(way) for way in first], [british(way) for way in first]
        paths.append((phone_pairs.utterance_path(first), phone_pairs.utterance_path(other)))
    return paths
