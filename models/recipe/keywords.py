"""Trains the classifier of keywords, ``models/keywords-en``, on what the encoder of the writer makes of sounds.

``python -m models.recipe keywords --parts PARTS`` writes it: sixteen cores hear the sounds in two minutes, and one GPU
trains both nets in three. Nets of two sizes are trained, and their scores are added: they err in different words.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import Tensor, nn
from torch.nn import functional

from assistant.voice.adapters.moonshine import ENCODER, model_file
from assistant.voice.ports import NO_KEYWORD
from models.recipe.keyword_sounds import WHO_DECIDES, Heard, heard_sounds
from models.recipe.keyword_words import BEFORE, gathered

BEGINNINGS = ("", NO_KEYWORD, *BEFORE)
WIDTH, LOOKS, TAPS = 288, 6, 5
_RATE, _DECAY, _SMOOTHING, _BEFORE_COUNTS, _STEEPEST = 2e-3, 0.02, 0.05, 0.5, 2.0
_OFTENER = dict.fromkeys(WHO_DECIDES, 3.0) | {"gsc_9words": 1.5, NO_KEYWORD: 4.0}
"""So much oftener than others recordings of a set, or of no keyword, are drawn."""
_DRAWN_FOR_IT = 0.25
"""How often a sound without a recording of its own is drawn beside a recording."""
_HIDDEN, _MOST_HIDDEN = 0.4, 6
"""Share of sounds of which a few steps are hidden while training, and how many at most."""
_CONVOLUTION = 3
"""Dimensions of the weights of a convolution: out, in, taps; kept are (taps, in, out)."""
_NO_WORDS = frozenset({"none", "[none]"})


@dataclass(frozen=True, slots=True)
class Training:
    """How one of the nets is trained."""

    channels: int
    dropout: float
    rounds: int
    batch: int
    seed: int


NETS = (Training(288, 0.4, 25, 256, 4), Training(192, 0.35, 20, 128, 6))


class KeywordNet(nn.Module):
    """Two convolutions over time and weighted means of all of it."""

    def __init__(self, words: int, channels: int, dropout: float) -> None:
        """Make one for so many ``words``."""
        super().__init__()
        self.drop = nn.Dropout(dropout)
        self.first = nn.Conv1d(WIDTH, channels, TAPS, padding=TAPS // 2)
        self.second = nn.Conv1d(channels, channels, TAPS, padding=TAPS - 1, dilation=2)
        self.look = nn.Conv1d(channels, LOOKS, 1)
        self.out = nn.Linear(LOOKS * channels, words)
        self.before = nn.Linear(LOOKS * channels, len(BEGINNINGS))

    def forward(self, heard: Tensor, there: Tensor) -> tuple[Tensor, Tensor]:
        """Return scores of words and of beginnings of ``heard``, shape (batch, steps, width), where it is ``there``."""
        mask = there[:, None].float()
        steps = torch.relu(self.first(self.drop(heard.transpose(1, 2)) * mask)) * mask
        steps = torch.relu(self.second(self.drop(steps))) * mask
        weights = self.look(steps).masked_fill(~there[:, None], -1e4).softmax(-1)
        means = self.drop(torch.einsum("bqt,bct->bqc", weights, steps).flatten(1))
        return self.out(means), self.before(means)


class _Sounds:
    """All sounds in one row on the device, and how often each is drawn."""

    def __init__(self, heard: Sequence[Heard], device: str) -> None:
        self.words = [NO_KEYWORD, *sorted({one.word for one in heard} - {NO_KEYWORD} - _NO_WORDS)]
        number = {word: at for at, word in enumerate(self.words)}
        wanted = np.array([number.get(one.word, 0) for one in heard])
        row = np.concatenate([one.steps for one in heard])
        some = row[::37].astype(np.float32)
        self.mean, self.spread = some.mean(axis=0), some.std(axis=0) + 1e-3
        length = np.array([len(one.steps) for one in heard])
        before = [-1 if one.before is None else BEGINNINGS.index(one.before) for one in heard]
        values = (row, length, np.cumsum(length) - length, wanted, np.array(before), _chances(heard, wanted))
        self.row, self.length, self.begin, self.wanted, self.before, self.chance = (
            torch.from_numpy(value).to(device) for value in values
        )
        self._mean, self._spread = (torch.from_numpy(one).to(device) for one in (self.mean, self.spread))

    def drawn(self, batch: int) -> tuple[Tensor, Tensor, Tensor, Tensor]:
        """Return what was heard, shape (batch, steps, width), where it is there, the words and the beginnings."""
        at = torch.multinomial(self.chance, batch, replacement=True)
        length = self.length[at]
        every = torch.arange(int(length.max()), device=at.device)[None]
        there = every < length[:, None]
        heard = self.row[(self.begin[at][:, None] + every).clamp(max=len(self.row) - 1)].float()
        begin = torch.rand(batch, device=at.device) * length
        size = torch.randint(1, _MOST_HIDDEN, (batch,), device=at.device)
        size *= torch.rand(batch, device=at.device) < _HIDDEN
        hidden = (every >= begin.long()[:, None]) & (every < (begin.long() + size)[:, None])
        heard = (heard - self._mean) / self._spread * (there & ~hidden)[..., None]
        return heard, there, self.wanted[at], self.before[at]


def make_keywords(parts: Path, out: Path, processes: int) -> int:
    """Draw sounds of ``parts``, train on them, write the nets to ``out``; return how many sounds there were.

    Raises:
        OSError: a synthetic voice is missing, or ``out`` cannot be written.
    """
    device = "cuda" if torch.cuda.is_available() else "cpu"
    heard = list(heard_sounds(gathered(parts, seed=1), processes, seed=1000))
    sounds = _Sounds(heard, device)
    _write(out, sounds, [_trained(sounds, wanted, device) for wanted in NETS])
    return len(heard)


def _chances(heard: Sequence[Heard], wanted: np.ndarray) -> np.ndarray:
    """Return how often each sound is drawn: each recording as often as any of its set, and rare words oftener."""
    variants: dict[int, int] = {}
    recordings: dict[int, set[int]] = {}
    for at, (one, word) in enumerate(zip(heard, wanted, strict=True)):
        variants[one.recording] = variants.get(one.recording, 0) + 1
        recordings.setdefault(int(word), set()).add(one.recording if one.recording >= 0 else -at - 1)
    often = {word: len(every) ** -0.5 for word, every in recordings.items()}
    each = [
        often[int(word)]
        * _OFTENER.get(one.source, 1.0)
        * (_OFTENER[NO_KEYWORD] if word == 0 else 1.0)
        * (1 / variants[one.recording] if one.recording >= 0 else _DRAWN_FOR_IT)
        for one, word in zip(heard, wanted, strict=True)
    ]
    return np.array(each)


def _trained(sounds: _Sounds, how: Training, device: str) -> KeywordNet:
    torch.manual_seed(how.seed)
    net = KeywordNet(len(sounds.words), how.channels, how.dropout).to(device)
    steps = how.rounds * len(sounds.length) // how.batch
    learner = torch.optim.AdamW(net.parameters(), weight_decay=_DECAY)
    pace = torch.optim.lr_scheduler.OneCycleLR(learner, _RATE, steps)
    net.train()
    for _ in range(steps):
        heard, there, wanted, wanted_before = sounds.drawn(how.batch)
        with torch.autocast(device, torch.bfloat16, enabled=device == "cuda"):
            words, before = net(heard, there)
        loss = functional.cross_entropy(words.float(), wanted, label_smoothing=_SMOOTHING)
        loss += _BEFORE_COUNTS * functional.cross_entropy(
            before.float(), wanted_before, ignore_index=-1, label_smoothing=_SMOOTHING
        )
        learner.zero_grad()
        loss.backward()
        nn.utils.clip_grad_norm_(net.parameters(), _STEEPEST)
        learner.step()
        pace.step()
    return net.eval().cpu()


def _write(out: Path, sounds: _Sounds, nets: Sequence[KeywordNet]) -> None:
    weights = {"mean": sounds.mean, "spread": sounds.spread}
    for at, net in enumerate(nets):
        for name, value in net.named_parameters():
            part, kind = name.split(".")
            kept = value.detach().numpy()
            if kept.ndim == _CONVOLUTION:
                kept = kept[..., 0] if part == "look" else kept.transpose(2, 1, 0)
            weights[f"{at}.{part}" if kind == "weight" else f"{at}.{part}_bias"] = kept
    encoder = hashlib.sha256(model_file(f"{ENCODER}.ort").read_bytes()).hexdigest()
    half = {f"net.{name}": value.astype(np.float16) for name, value in weights.items()}
    told = {"words": np.array(sounds.words), "before": np.array(BEGINNINGS), "encoder": np.array(encoder)}
    out.parent.mkdir(parents=True, exist_ok=True)
    np.savez_compressed(out, **told, **half)
