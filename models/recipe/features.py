"""Kaldi's high-resolution MFCC in torch: 40 mel bins from 20 to 7600 Hz, 40 cepstra, 25 ms windows every 10 ms.

Same values as ``kaldi-native-fbank`` with ``--use-energy=false --num-mel-bins=40 --num-ceps=40 --low-freq=20
--high-freq=7600`` (a test compares them).
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import torch

RATE = 16_000
WINDOW, HOP, FFT = 400, 160, 512
CEPSTRA = MEL_BINS = 40
LOW_HZ, HIGH_HZ = 20.0, 7600.0
PREEMPHASIS = 0.97
LIFTER = 22.0
_SMALLEST = 1.1920929e-07
"""Kaldi's floor for mel energies (epsilon of a 32-bit float)."""

Change = Callable[[torch.Tensor], torch.Tensor]
WARPS: tuple[float, ...] = (1.0, 1.0, 1.0, 0.88, 0.91, 0.94, 0.97, 1.03, 1.06, 1.09, 1.12)
"""Vocal tracts to draw from: frequencies up to 4800 Hz times this, the rest squeezed or stretched to fit (Jaitly and
Hinton, "Vocal tract length perturbation", ICML workshop 2013)."""
_WARPED_TO_HZ = 4800.0


def warped(hertz: np.ndarray, factor: float) -> np.ndarray:
    """Return where ``hertz`` lie for a talker with all resonances ``factor`` times as high; 0 and 8 kHz stay."""
    edge = _WARPED_TO_HZ * min(factor, 1.0) / factor
    above = RATE / 2 - (RATE / 2 - edge * factor) / (RATE / 2 - edge) * (RATE / 2 - hertz)
    return np.where(hertz <= edge, hertz * factor, above)


class Mfcc:
    """Computes features on one device."""

    def __init__(self, device: str | torch.device) -> None:
        def mel(hertz: np.ndarray | float) -> np.ndarray:
            return 1127.0 * np.log(1 + np.asarray(hertz) / 700.0)

        edges = np.linspace(mel(LOW_HZ), mel(HIGH_HZ), MEL_BINS + 2)
        left, centre, right = edges[:-2], edges[1:-1], edges[2:]

        def filters(factor: float) -> np.ndarray:
            bins = mel(warped(np.arange(FFT // 2 + 1) * RATE / FFT, factor))[:, None]
            banks = np.maximum(0, np.minimum((bins - left) / (centre - left), (right - bins) / (right - centre)))
            banks[-1] = 0
            return banks

        k = np.arange(CEPSTRA)
        cosines = np.sqrt(2 / MEL_BINS) * np.cos(np.pi / MEL_BINS * (np.arange(MEL_BINS)[None] + 0.5) * k[:, None])
        cosines[0] = np.sqrt(1 / MEL_BINS)
        lift = 1 + LIFTER / 2 * np.sin(np.pi * k / LIFTER)
        povey = (0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / (WINDOW - 1))) ** 0.85
        self._banks, self._warped, self._cosines, self._window = (
            torch.tensor(table, dtype=torch.float32, device=device)
            for table in (
                filters(1.0), np.stack([filters(factor) for factor in WARPS]), (cosines * lift[:, None]).T.copy(), povey
            )
        )  # fmt: skip

    def __call__(
        self, waves: torch.Tensor, change: Change | None = None, warp: torch.Tensor | None = None
    ) -> torch.Tensor:
        """Return the features, shape (batch, frames, 40), of ``waves``, shape (batch, samples), in int16 range.

        ``change`` may alter the log mel energies, shape (batch, frames, 40), before the cosine transform; ``warp``,
        shape (batch,), names the vocal tract (a place in WARPS) of each.
        """
        frames = waves.unfold(1, WINDOW, HOP)
        frames = frames - frames.mean(2, keepdim=True)
        first = frames[:, :, :1] * (1 - PREEMPHASIS)
        frames = torch.cat([first, frames[:, :, 1:] - PREEMPHASIS * frames[:, :, :-1]], 2) * self._window
        power = torch.fft.rfft(frames, FFT).abs().square()
        # The products need full 32-bit precision: TF32 would shift the features by more than the parity allows.
        tf32 = torch.backends.cuda.matmul.allow_tf32
        torch.backends.cuda.matmul.allow_tf32 = False
        log_mel = (power @ (self._banks if warp is None else self._warped[warp])).clamp_min(_SMALLEST).log()
        features = (change(log_mel) if change else log_mel) @ self._cosines
        torch.backends.cuda.matmul.allow_tf32 = tf32
        return features


def mask_bands(generator: torch.Generator, band: float = 0.35, stretch: float = 0.3) -> Change:
    """Return a change that hides up to two bands of 7 bins and one stretch of 140 ms behind the mean of the clip.

    ``band`` and ``stretch`` are the chances of each. After Park et al., "SpecAugment", Interspeech 2019.
    """

    def change(log_mel: torch.Tensor) -> torch.Tensor:
        batch, frames, bins = log_mel.shape
        device = log_mel.device
        mean = log_mel.mean(1, keepdim=True)

        def uniform() -> torch.Tensor:
            return torch.rand(batch, 1, device=device, generator=generator)

        bin_number = torch.arange(bins, device=device)[None]
        for _ in range(2):
            width = uniform() * 7 * (uniform() < band)
            start = uniform() * (bins - width)
            log_mel = torch.where(((bin_number >= start) & (bin_number < start + width))[:, None], mean, log_mel)
        frame_number = torch.arange(frames, device=device)[None]
        width = uniform() * 14 * (uniform() < stretch)
        start = uniform() * (frames - width)
        return torch.where(((frame_number >= start) & (frame_number < start + width))[:, :, None], mean, log_mel)

    return change
