"""Noises of a loud bay, made from their physics: no recording is needed, and every run hears the same."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from assistant.voice.ports import RATE, Samples

Floats = npt.NDArray[np.float64]


def compressor(seconds: float, random: np.random.Generator) -> Floats:
    """Return a piston compressor, shape (n,): mains hum, and air that pulses with the strokes (12.5 a second)."""
    t = np.arange(round(seconds * RATE)) / RATE
    air = np.convolve(random.standard_normal(t.size), np.hanning(33) / 16, mode="same")
    strokes = 1 + 0.5 * np.sin(2 * np.pi * 12.5 * t) + 0.25 * np.sin(2 * np.pi * 25 * t)
    hum = sum(part * np.sin(2 * np.pi * hz * t) for hz, part in ((50, 1.5), (100, 1.0), (150, 0.7), (300, 0.5)))
    return np.asarray(air * strokes + 0.3 * random.standard_normal(t.size) + 0.4 * hum)


def hammering(seconds: float, random: np.random.Generator) -> Floats:
    """Return blows on metal, shape (n,), two a second and uneven, each ringing for a quarter of a second."""
    out = 0.02 * random.standard_normal(round(seconds * RATE))
    t = np.arange(round(0.3 * RATE)) / RATE
    at = 0.3
    while at < seconds - 0.4:
        ring = sum(
            np.sin(2 * np.pi * hz * t + random.uniform(0, 6)) for hz in (910 * random.uniform(0.8, 1.2), 1730, 2840)
        )
        first = round(at * RATE)
        out[first : first + t.size] += (
            random.uniform(0.6, 1.2) * np.exp(-14 * t) * (ring + random.standard_normal(t.size))
        )
        at += random.uniform(0.35, 0.8)
    return np.asarray(out)


def engine(seconds: float, random: np.random.Generator) -> Floats:
    """Return an engine at 800 revolutions a minute, shape (n,): forty harmonics of its firing (27 Hz), and exhaust."""
    t = np.arange(round(seconds * RATE)) / RATE
    phase = 2 * np.pi * np.cumsum(27 * (1 + 0.03 * np.sin(2 * np.pi * 0.3 * t))) / RATE
    sound = sum(np.sin(k * phase + random.uniform(0, 6)) / k**0.7 for k in range(1, 40))
    return np.asarray(sound + 0.8 * random.standard_normal(t.size) * (1 + 0.6 * np.sin(phase)))


def jackhammer(seconds: float, random: np.random.Generator) -> Floats:
    """Return a breaker, shape (n,): twenty-four blows a second, each a burst that rings, and its exhaust air."""
    t = np.arange(round(seconds * RATE)) / RATE
    strokes = np.cumsum(24 * (1 + 0.05 * np.sin(2 * np.pi * 0.7 * t))) / RATE
    since_s = (strokes % 1) / 24
    burst = np.exp(-90 * since_s) * random.standard_normal(t.size)
    ring = np.exp(-60 * since_s) * (np.sin(2 * np.pi * 620 * since_s) + 0.7 * np.sin(2 * np.pi * 1450 * since_s))
    return np.asarray(burst + ring + 0.15 * random.standard_normal(t.size))


def drilling(seconds: float, random: np.random.Generator) -> Floats:
    """Return a drill in metal, shape (n,): the whine of its motor and gears, which sags under load, and chips."""
    t = np.arange(round(seconds * RATE)) / RATE
    load = 0.5 + 0.5 * np.tanh(3 * np.sin(2 * np.pi * 0.21 * t + random.uniform(0, 6)))
    phase = 2 * np.pi * np.cumsum(310 * (1 - 0.25 * load)) / RATE
    whine = sum(np.sin(k * phase + random.uniform(0, 6)) / k**0.8 for k in (1, 2, 3, 4, 6, 8, 12))
    chips = np.convolve(random.standard_normal(t.size), [1.0, -0.8], mode="same") * (0.2 + 0.8 * load)
    return np.asarray(0.8 * whine + 0.7 * chips * (1 + 0.4 * np.sin(phase / 6)))


NOISES = {"compressor": compressor, "hammering": hammering, "engine": engine}
"""Which the tests hear."""
MACHINES = NOISES | {"jackhammer": jackhammer, "drilling": drilling}
"""Which a whole talk is heard beside."""


def over_noise(speech: Floats, power: float, noise: Floats, snr_db: float) -> Samples:
    """Return ``speech`` and ``noise``, both shape (n,), added; speech of this mean ``power`` lies so far above."""
    scaled = noise / noise.std() * np.sqrt(power) * 10 ** (-snr_db / 20)
    return np.clip(np.rint(speech + scaled), -32_768, 32_767).astype(np.int16)
