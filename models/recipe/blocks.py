"""Recordings packed one after another into NumPy files of some minutes, with one line of JSON for each recording.

Thousands of short files are slow to open; a handful of blocks is not. A *part* is all blocks and the index of one kind
of recording, for example ``train-synthetic``.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, field
from pathlib import Path

import numpy as np
import numpy.typing as npt

RATE = 16_000
"""Samples per second of all audio in the recipe."""
BLOCK_SECONDS = 600
Audio = npt.NDArray[np.int16]


@dataclass(frozen=True, slots=True)
class Clip:
    """One recording: where it lies (block, first sample, samples), what is said in it and by whom, and its data set.

    ``accent`` is "gb" where the speaker is known to be British (no R before consonants).
    """

    block: str
    start: int
    length: int
    text: str
    speaker: str
    source: str
    accent: str = ""


@dataclass
class PartWriter:
    """Writes one part into ``folder``: ``<part>-000.npy`` ... and ``<part>.jsonl``."""

    folder: Path
    part: str
    _clips: list[Clip] = field(default_factory=list)
    _pending: list[Audio] = field(default_factory=list)
    _filled: int = 0
    _blocks: int = 0

    def add(self, audio: Audio, text: str, speaker: str, source: str, accent: str = "") -> None:
        """Append one recording, 16 kHz mono, shape (n,)."""
        name = f"{self.part}-{self._blocks:03d}.npy"
        self._clips.append(Clip(name, self._filled, len(audio), text, speaker, source, accent))
        self._pending.append(audio)
        self._filled += len(audio)
        if self._filled > BLOCK_SECONDS * RATE:
            self._flush()

    def close(self) -> int:
        """Write what is left and the index; return the number of recordings."""
        self._flush()
        lines = "".join(json.dumps(asdict(clip)) + "\n" for clip in self._clips)
        # The index appears at once and last: training may look for finished parts while others are being made.
        partial = self.folder / f"{self.part}.jsonl.part"
        partial.write_text(lines, "utf-8")
        partial.replace(self.folder / f"{self.part}.jsonl")
        return len(self._clips)

    def _flush(self) -> None:
        if not self._pending:
            return
        np.save(self.folder / f"{self.part}-{self._blocks:03d}.npy", np.concatenate(self._pending))
        self._pending, self._filled, self._blocks = [], 0, self._blocks + 1


def read_index(folder: Path, parts: Iterable[str]) -> list[Clip]:
    """Return all clips of ``parts``, in order."""
    lines = (line for part in parts for line in (folder / f"{part}.jsonl").read_text("utf-8").splitlines())
    return [Clip(**json.loads(line)) for line in lines]


def read_clips(folder: Path, part: str) -> Iterator[tuple[Clip, Audio]]:
    """Yield every recording of ``part`` with its samples."""
    name, block = "", np.zeros(0, np.int16)
    for clip in read_index(folder, [part]):
        if clip.block != name:
            name, block = clip.block, np.load(folder / clip.block)
        yield clip, block[clip.start : clip.start + clip.length]


def training_parts(parts: Path) -> list[str]:
    """Return the names of the finished parts of speech to train on."""
    names = (path.name.removesuffix(".jsonl") for path in sorted(parts.glob("train-*.jsonl")))
    return [name for name in names if name != "train-noise" and not name.endswith(".plan")]
