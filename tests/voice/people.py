"""Synthetic people who speak to the recogniser, by real synthesisers, and the rooms they speak in."""

from __future__ import annotations

import functools
import shutil
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile

from assistant.voice.adapters.resample import resample
from assistant.voice.ports import BLOCK, RATE, Block, Samples

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Person:
    """One voice: ``engine`` is flite, espeak-ng or festival; ``pace`` is 1.0 as the voice was made, more is slower."""

    engine: str
    voice: str = ""
    pace: float = 1.0

    @property
    def name(self) -> str:
        """For tables."""
        return " ".join(filter(None, [self.engine, self.voice, "" if self.pace == 1.0 else f"x{self.pace}"]))

    @property
    def is_here(self) -> bool:
        """Whether this machine has the engine."""
        return shutil.which("text2wave" if self.engine == "festival" else self.engine) is not None

    def say(self, text: str) -> Samples:
        """Return ``text`` spoken, 16 kHz, peak half of full scale, no silence at the edges, shape (n,)."""
        return _say(self, text)


@functools.cache
def _say(person: Person, text: str) -> Samples:
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out.wav"
        if person.engine == "flite":
            command = ["flite", "-voice", person.voice, "--setf", f"duration_stretch={person.pace}"]
            subprocess.run([*command, "-t", text, "-o", out], check=True, capture_output=True)
        elif person.engine == "espeak-ng":
            command = ["espeak-ng", "-v", person.voice, "-s", str(round(150 / person.pace)), "-w", str(out), text]
            subprocess.run(command, check=True, capture_output=True)
        else:
            subprocess.run(["text2wave", "-o", str(out)], input=text.encode(), check=True, capture_output=True)
        samples, rate = soundfile.read(out, dtype="int16")
    samples = resample(samples, rate, RATE).astype(np.float64)
    loud = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
    samples = samples[loud[0] : loud[-1] + 1]
    spoken = np.rint(samples * 16_384 / np.abs(samples).max()).astype(np.int16)
    spoken.setflags(write=False)
    return spoken


def silence(seconds: float) -> Samples:
    """Return digital silence, shape (n,)."""
    return np.zeros(round(seconds * RATE), dtype=np.int16)


def in_room(*pieces: Samples, floor_db: float = -58.0, seed: int = 1) -> Samples:
    """Join ``pieces`` and add a noise floor [dBFS, root mean square]: a real room is never digitally silent."""
    joined = np.concatenate(pieces).astype(np.float64)
    hiss = np.convolve(np.random.default_rng(seed).standard_normal(joined.size), np.ones(4) / 4, mode="same")
    joined += 32_768 * 10 ** (floor_db / 20) * hiss / hiss.std()
    return np.clip(np.rint(joined), -32_768, 32_767).astype(np.int16)


def blocks(samples: Samples, started_at: float = 0.0) -> list[Block]:
    """Cut ``samples``, shape (n,), into blocks as a microphone would; what does not fill the last is left out."""
    return [
        Block(samples[at : at + BLOCK], started_at + (at + BLOCK) / RATE)
        for at in range(0, samples.size - BLOCK + 1, BLOCK)
    ]


CHATTER = (
    "I think the radio is on too loud over there.",
    "Pass me that rag, would you?",
    "The weather looks better than yesterday.",
    "Where did you put the coffee?",
    "It was about nine in the morning when he came in.",
    "That customer rang again about the estimate.",
    "Can you hand me the other light?",
    "We are going to lunch in ten minutes.",
    "Did you see the match last night?",
    "The delivery came late again.",
    "Oh dear.",
    "Come here.",
    "Alright then.",
    "Good morning.",
    "What is that?",
    "Not today.",
    "Thank you very much.",
    "See you later.",
    "Hello there.",
    "Watch out behind you.",
    "My back is killing me.",
    "This one looks fine to me.",
    "Hang on a second, mate.",
    "No way.",
    "Yes, I know.",
    "Next week, maybe.",
    "I am done with this radio.",
    "Count me out.",
    "What a day.",
    "The problem is money.",
)
"""What is said in a workshop and is meant for no machine."""
