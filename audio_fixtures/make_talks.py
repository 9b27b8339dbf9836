"""Makes the recorded talks of this folder: ``python audio_fixtures/make_talks.py`` writes a FLAC per ``*.talk.yaml``.

A talk is what a mechanic says during a whole job: phrases with pauses, a noise floor (a real room is never digitally
silent), and in one talk also coughs, bangs and chatter. The voices are flite's, which the assistant itself never uses.
Everything is seeded, so a talk comes out the same each time with the same release of flite.

A line of a talk is a phrase, or a mapping with one of: ``say`` (a phrase), ``cough``, ``bang`` (seconds), ``chatter``
(a sentence that is not for the assistant), ``silence`` (seconds); ``pause`` (seconds after it), ``voice`` and ``level``
(decibels) may be added.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
import soundfile
import soxr
import yaml

RATE = 16_000
FOLDER = Path(__file__).parent
Floats = npt.NDArray[np.float64]


def speech(text: str, voice: str) -> Floats:
    """Return ``text`` in a flite voice, 16 kHz, peak 0.5, shape (n,)."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "out.wav"
        subprocess.run(["flite", "-voice", voice, "-t", text, "-o", str(out)], check=True, capture_output=True)
        samples, rate = soundfile.read(out, dtype="float64")
    samples = soxr.resample(samples, rate, RATE)
    loud = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
    samples = samples[loud[0] : loud[-1] + 1]
    return np.asarray(0.5 * samples / np.abs(samples).max())


def cough(seconds: float, random: np.random.Generator) -> Floats:
    """Return two short bursts of coloured noise, much as a cough is, shape (n,)."""
    n = int(seconds * RATE)
    noise = np.convolve(random.standard_normal(n), np.hanning(9), mode="same")
    shape = np.abs(np.sin(np.linspace(0, 2 * np.pi, n))) ** 0.5 * np.linspace(1, 0.4, n)
    return np.asarray(0.3 * shape * noise / np.abs(noise).max())


def bang(seconds: float, random: np.random.Generator) -> Floats:
    """Return a ringing blow of metal on metal, shape (n,)."""
    t = np.arange(int(seconds * RATE)) / RATE
    ring = sum(np.sin(2 * np.pi * f * t + random.uniform(0, 6)) for f in (910.0, 1730.0, 2840.0))
    return np.asarray(0.25 * np.exp(-9 * t) * (ring + random.standard_normal(t.size)) / 3)


def build(talk: dict[str, Any]) -> Floats:
    """Return the whole talk, 16 kHz, floats from -1 to 1, shape (n,)."""
    random = np.random.default_rng(talk.get("seed", 1))
    pieces: list[Floats] = [np.zeros(RATE // 2)]
    for line in talk["lines"]:
        entry = {"say": line} if isinstance(line, str) else line
        voice = entry.get("voice", talk["voice"])
        if "say" in entry:
            sound = speech(entry["say"], voice)
        elif "chatter" in entry:
            sound = speech(entry["chatter"], voice)
        elif "cough" in entry:
            sound = cough(entry["cough"], random)
        elif "bang" in entry:
            sound = bang(entry["bang"], random)
        else:
            sound = np.zeros(int(entry["silence"] * RATE))
        pieces.append(sound * 10 ** (entry.get("level", 0) / 20))
        pieces.append(np.zeros(int(entry.get("pause", talk.get("pause", 0.9)) * RATE)))
    samples = np.concatenate(pieces)
    floor = 10 ** (talk.get("floor", -58) / 20)
    hiss = np.convolve(random.standard_normal(samples.size), np.ones(4) / 4, mode="same")
    return np.asarray(np.clip(samples + floor * hiss / hiss.std(), -1, 1))


def main() -> None:
    """Write every talk of this folder, or those named."""
    named = [Path(name) for name in sys.argv[1:]] or sorted(FOLDER.glob("*.talk.yaml"))
    for path in named:
        samples = build(yaml.safe_load(path.read_text("utf-8")))
        out = path.with_name(path.name.removesuffix(".talk.yaml") + ".flac")
        soundfile.write(out, samples, RATE, subtype="PCM_16")
        print(f"{out.name}: {samples.size / RATE:.0f} s")


if __name__ == "__main__":
    main()
