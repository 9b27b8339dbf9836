"""Stage 2: what a bay, a microphone and a radio link do to speech, computed on the device for every batch anew.

All functions take and return float waves, shape (batch, samples), in the range of 16-bit samples. Noise is recorded
noise, talk of other clips, and noise made on the spot: coloured noise, engine harmonics, hammering, impact wrenches.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import torch
from torch import Tensor
from torch.nn import functional

RATE = 16_000
ROOM_SAMPLES = 8000
_QUIET = 1e-6
_NOISE_KINDS = (0.40, 0.56, 0.70, 0.88)
"""Shares of the batch, added up: one recorded noise, two, a recorded and a made one, a made one; the rest babble."""


def fft_size(samples: int) -> int:
    """Return a length of at least ``samples`` that transforms quickly: 4 to 8 times a power of two."""
    step = 1 << max(0, samples.bit_length() - 3)
    return -(-samples // step) * step


@dataclass(frozen=True, slots=True)
class Pool:
    """Clips inside one long row of samples: ``samples`` int16 (n,), first sample and length of each clip (clips,)."""

    samples: Tensor
    start: Tensor
    length: Tensor


@dataclass(frozen=True, slots=True)
class Conditions:
    """How hard the training conditions are: the signal-to-noise ratio [dB] is drawn from ``lowest`` to ``highest``."""

    lowest: float = -5.0
    highest: float = 30.0
    almost_clean: float = 0.08
    """Share of clips at 30 to 55 dB instead."""


class Augment:
    """Draws clips from ``speech`` and mixes them with ``noise``.

    ``impulsive`` are the numbers of the noise clips that are single bangs.
    """

    def __init__(self, speech: Pool, noise: Pool, impulsive: Tensor, generator: torch.Generator) -> None:
        self.speech, self.noise_pool, self.impulsive, self.generator = speech, noise, impulsive, generator
        self.device = speech.samples.device
        # By the root of their length, long recordings do not swamp the short ones.
        self._noise_weight = noise.length.float().clamp_max(20 * RATE).sqrt()

    def uniform(self, *shape: int, low: float = 0.0, high: float = 1.0) -> Tensor:
        """Return random numbers between ``low`` and ``high``."""
        return torch.rand(*shape, device=self.device, generator=self.generator) * (high - low) + low

    def normal(self, *shape: int) -> Tensor:
        """Return normally distributed random numbers."""
        return torch.randn(*shape, device=self.device, generator=self.generator)

    def chance(self, batch: int, share: float) -> Tensor:
        """Return True for about ``share`` of the batch, shape (batch, 1)."""
        return self.uniform(batch, 1) < share

    def __call__(
        self,
        clip: Tensor,
        pace: Tensor,
        offset: Tensor,
        samples: int,
        noise_only: Tensor,
        bang: Tensor,
        conditions: Conditions,
    ) -> Tensor:
        """Return waves with each ``clip`` (numbers, shape (batch,)) played ``pace`` times as fast from ``offset``.

        Where ``noise_only`` there is no speech but noise alone, with one bang in it where ``bang``.
        """
        batch = len(clip)
        speech = self.speech
        start, length = speech.start[clip], speech.length[clip]
        wave = self._fetch(speech.samples, start, length, offset, pace, samples)
        spoken = (length.float() / pace).clamp_max(samples)[:, None]
        one_bang = (noise_only & bang)[:, None]
        alone = noise_only[:, None]
        wave = torch.where(alone, torch.zeros_like(wave), wave)
        banging = (noise_only & bang).nonzero()[:, 0]
        if len(banging):
            wave[banging] = self._bang(len(banging), samples)
        wave = self._room(self._raised(wave))
        level = (wave.square().sum(1, keepdim=True) / spoken).sqrt().clamp_min(1e-3)
        level = torch.where(alone & ~one_bang, torch.full_like(level, 1000.0), level)
        ratio = self.uniform(batch, 1, low=conditions.lowest, high=conditions.highest)
        ratio = torch.where(self.chance(batch, conditions.almost_clean), self.uniform(batch, 1, low=30, high=55), ratio)
        ratio = torch.where(one_bang, ratio.clamp_min(3), ratio)
        noisy = wave + self._noises(batch, samples) * level * 10 ** (-ratio / 20) + self._echo_left(wave, level, alone)
        return self._microphone(noisy)

    def _fetch(
        self, samples: Tensor, start: Tensor, length: Tensor, offset: Tensor, pace: Tensor, count: int,
        *, wrap: bool = False,
    ) -> Tensor:  # fmt: skip
        """Read clips at another pace by cubic interpolation; zero outside the clip, or round and round."""
        t = torch.arange(count, device=self.device, dtype=torch.float32)[None]
        position = (t - offset[:, None]) * pace[:, None]
        if wrap:
            position = torch.remainder(position, (length - 4).clamp_min(1)[:, None].float())
        whole = position.floor()
        part, whole = position - whole, whole.long()
        inside = (whole >= 0) & (whole < length[:, None] - 3)
        first = start[:, None] + whole.clamp_min(0).minimum((length[:, None] - 4).clamp_min(0))
        a, b, c, d = (samples[(first + k).clamp_max(len(samples) - 1)].float() for k in range(4))
        value = b + 0.5 * part * (c - a + part * (2 * a - 5 * b + 4 * c - d + part * (3 * (b - c) + d - a)))
        return torch.where(inside, value, torch.zeros_like(value))

    def _unit(self, wave: Tensor) -> Tensor:
        """Scale each wave to a standard deviation of one."""
        return wave / (wave.std(1, keepdim=True) + 1e-3 * (wave.abs().amax(1, keepdim=True) + _QUIET))

    def _tilt(self, batch: int, bins: int, points: int, decibels: float) -> Tensor:
        """Return a smooth random gain over frequency, up to plus or minus ``decibels``, shape (batch, bins)."""
        gains = (self.uniform(batch, 1, points) * 2 - 1) * decibels
        hertz = torch.linspace(0, RATE / 2, bins, device=self.device)
        place = torch.log1p(hertz / 500) / math.log1p(16) * 2 - 1
        grid = torch.stack([place, torch.zeros_like(place)], -1)[None, None].expand(batch, 1, bins, 2)
        return 10 ** (functional.grid_sample(gains[:, :, None, :], grid, align_corners=True)[:, 0, 0] / 20)

    def _raised(self, wave: Tensor) -> Tensor:
        """Tilt three in ten clips as a raised voice is: up to 4 dB an octave more above 500 Hz, or 1 dB less.

        In loud noise people speak with a flatter spectrum (Lombard; Junqua, J. Acoust. Soc. Am. 93, 1993, from memory).
        """
        batch, samples = wave.shape
        size = fft_size(samples)
        spectrum = torch.fft.rfft(wave, size)
        hertz = torch.linspace(0, RATE / 2, spectrum.shape[1], device=self.device)[None]
        octaves = torch.log2(hertz.clamp(250, 4000) / 500)
        steep = self.uniform(batch, 1, low=-1, high=4) * self.chance(batch, 0.3)
        return torch.fft.irfft(spectrum * 10 ** (steep * octaves / 20), size)[:, :samples]

    def _echo_left(self, wave: Tensor, level: Tensor, alone: Tensor) -> Tensor:
        """Return what an echo canceller leaves of another voice, 6 to 26 dB below the speech, for one clip in ten.

        Left are pieces of some bands, for some 50 ms each: the other voice through gates that open and close.
        """
        left = torch.zeros_like(wave)
        rows = torch.randperm(len(wave), device=self.device, generator=self.generator)[: round(len(wave) * 0.1)]
        if not len(rows):
            return left
        batch, samples = len(rows), wave.shape[1]
        size = fft_size(samples)
        spectrum = torch.fft.rfft(self._another_voice(batch, samples, 1.0, 1.0), size)
        pieces = torch.zeros(batch, samples, device=self.device)
        for _ in range(3):
            band = torch.fft.irfft(spectrum * self._tilt(batch, spectrum.shape[1], 8, 20), size)[:, :samples]
            gates = functional.interpolate(self.uniform(batch, 1, samples // 800 + 2), samples, mode="linear")[:, 0]
            pieces += self._unit(band) * torch.sigmoid(20 * (gates - 0.65))
        left[rows] = pieces * level[rows] * 10 ** (-self.uniform(batch, 1, low=6, high=26) / 20) * ~alone[rows]
        return left

    def _room(self, wave: Tensor) -> Tensor:
        """Give about half of the clips a room (reverberation time 60 ms to 1 s), and all an uneven response."""
        batch, samples = wave.shape
        size = fft_size(samples + ROOM_SAMPLES)
        t = torch.arange(ROOM_SAMPLES, device=self.device)[None] / RATE
        lasting = self.uniform(batch, 1, low=0.06, high=1.0)
        decay = torch.exp(-6.9 * t / lasting)
        tail = self.normal(batch, ROOM_SAMPLES) * decay
        low = functional.avg_pool1d(tail[:, None], 5, 1, 2)[:, 0]
        faster = torch.exp(-6.9 * t / (lasting * self.uniform(batch, 1, low=0.25, high=1.0)))
        tail = low + (tail - low) * faster / decay.clamp_min(_QUIET)
        echoes = (self.uniform(batch, ROOM_SAMPLES) < 0.004).float() * self.normal(batch, ROOM_SAMPLES)
        response = tail * 0.3 + echoes * torch.exp(-6.9 * t / 0.05) * 3
        response[:, :16] = 0
        distance = 10 ** (-self.uniform(batch, 1, low=-3, high=14) / 20)
        response = response / (response.square().sum(1, keepdim=True).sqrt() + _QUIET) * distance
        response = response * self.chance(batch, 0.55)
        response[:, 0] = 1
        spectrum = torch.fft.rfft(wave, size)
        gain = self._tilt(batch, spectrum.shape[1], 6, 6)
        return torch.fft.irfft(spectrum * torch.fft.rfft(response, size) * gain, size)[:, :samples]

    def _recorded(self, batch: int, samples: int) -> Tensor:
        clip = torch.multinomial(self._noise_weight, batch, True, generator=self.generator)
        length = self.noise_pool.length[clip]
        offset = -(self.uniform(batch) * length).floor()
        pace = 2 ** self.uniform(batch, low=-0.6, high=0.6)
        start = self.noise_pool.start[clip]
        return self._unit(self._fetch(self.noise_pool.samples, start, length, offset, pace, samples, wrap=True))

    def _bang(self, batch: int, samples: int) -> Tensor:
        pick = torch.randint(len(self.impulsive), (batch,), device=self.device, generator=self.generator)
        clip = self.impulsive[pick]
        length = self.noise_pool.length[clip].clamp_max(int(samples * 0.8))
        offset = self.uniform(batch, high=0.2) * samples
        same = torch.ones(batch, device=self.device)
        return self._fetch(self.noise_pool.samples, self.noise_pool.start[clip], length, offset, same, samples)

    def _coloured(self, batch: int, samples: int) -> Tensor:
        """Make coloured noise, half of it with engine harmonics, some of it hammered."""
        size = fft_size(samples)
        spectrum = torch.fft.rfft(self.normal(batch, size))
        bins = spectrum.shape[1]
        slope = self.uniform(batch, 1, low=-1.6, high=0.3)
        fall = (torch.arange(bins, device=self.device)[None] + 8.0) ** slope
        wave = self._unit(torch.fft.irfft(spectrum * self._tilt(batch, bins, 10, 25) * fall, size)[:, :samples])
        t = torch.arange(samples, device=self.device)[None] / RATE
        turn = 2 * math.pi
        pitch = self.uniform(batch, 1, low=20, high=400)
        drift = self.uniform(batch, 1, high=0.05) * torch.sin(turn * self.uniform(batch, 1, low=0.1, high=1.5) * t)
        phase = turn * pitch * (t + drift)
        engine = torch.zeros(batch, samples, device=self.device)
        for k in range(1, 13):
            loud = self.uniform(batch, 1) ** 2 * k**-0.5 * (pitch * k < 7000)
            engine += loud * torch.sin(k * phase + self.uniform(batch, 1, high=turn))
        wave = wave + self._unit(engine) * self.uniform(batch, 1, high=3) * self.chance(batch, 0.5)
        beat = torch.sin(turn * self.uniform(batch, 1, low=0.5, high=30) * t + self.uniform(batch, 1, high=turn))
        blows = torch.sigmoid(8 * (beat - self.uniform(batch, 1, low=-0.8, high=0.9)))
        swing = 1 + (blows * self.uniform(batch, 1, low=1, high=8) - 0.5) * self.chance(batch, 0.4)
        return wave * swing.clamp_min(0.05)

    def _impacts(self, batch: int, samples: int) -> Tensor:
        """Make an impact wrench: 8 to 45 blows a second, each ringing for some milliseconds, over hissing air."""
        t = torch.arange(samples, device=self.device)[None] / RATE
        rate = self.uniform(batch, 1, low=8, high=45)
        since = torch.remainder(t + self.uniform(batch, 1), 1 / rate)
        ring = torch.exp(-since / self.uniform(batch, 1, low=0.002, high=0.015))
        tone = torch.zeros(batch, samples, device=self.device)
        for _ in range(4):
            tone += self.uniform(batch, 1) * torch.sin(2 * math.pi * self.uniform(batch, 1, low=400, high=6500) * since)
        blows = (tone + self.normal(batch, samples) * self.uniform(batch, 1, high=1.5)) * ring
        hiss = self.normal(batch, samples) * self.uniform(batch, 1, high=0.4)
        running = torch.sin(
            2 * math.pi * self.uniform(batch, 1, low=0.1, high=0.8) * t + self.uniform(batch, 1, high=6.3)
        )
        return self._unit((blows + hiss) * torch.sigmoid(20 * (running + 0.5)))

    def _babble(self, batch: int, samples: int) -> Tensor:
        """Make two to six voices that talk on past their clips (neighbours follow in the pool)."""
        wave = torch.zeros(batch, samples, device=self.device)
        for talker in range(6):
            voice = self._another_voice(batch, samples, 0.85, 1.15)
            present = self.chance(batch, 0.6) if talker >= 2 else 1.0
            wave += voice * self.uniform(batch, 1, low=0.3, high=1) * present
        return self._unit(wave)

    def _another_voice(self, batch: int, samples: int, slowest: float, fastest: float) -> Tensor:
        """Return a voice that talks on past its clip (neighbours follow in the pool), at a pace between the two."""
        clip = torch.randint(len(self.speech.start), (batch,), device=self.device, generator=self.generator)
        endless = torch.full((batch,), samples * 2, device=self.device)
        none, pace = torch.zeros(batch, device=self.device), self.uniform(batch, low=slowest, high=fastest)
        return self._unit(self._fetch(self.speech.samples, self.speech.start[clip], endless, none, pace, samples))

    def _noises(self, batch: int, samples: int) -> Tensor:
        """Mix the kinds of noise: mostly recorded ones, alone, two at once, or with made ones.

        Which row gets which kind goes by its place, so that no kind is made for rows that do not use it; the clips of a
        batch come in no order.
        """
        alone, two, both, made_only = (round(batch * share) for share in _NOISE_KINDS)
        share = self.uniform(batch, 1)
        rows = []
        one = self._recorded(both, samples) if both else torch.zeros(0, samples, device=self.device)
        rows.append(one[:alone])
        if two > alone:
            rows.append(one[alone:two] + self._recorded(two - alone, samples) * share[alone:two])
        if made_only > two:
            made = self._made(made_only - two, samples)
            rows += [one[two:] * share[two:both] + made[: both - two], made[both - two :]]
        if batch > made_only:
            rows.append(self._babble(batch - made_only, samples))
        size = fft_size(samples)
        spectrum = torch.fft.rfft(torch.cat(rows), size)
        return self._unit(torch.fft.irfft(spectrum * self._tilt(batch, spectrum.shape[1], 7, 9), size)[:, :samples])

    def _made(self, batch: int, samples: int) -> Tensor:
        """Make impacts (three of ten) and coloured noise, in no order."""
        impacts = round(batch * 0.3)
        kinds = [self._coloured(batch - impacts, samples)]
        if impacts:
            kinds.append(self._impacts(impacts, samples))
        order = torch.randperm(batch, device=self.device, generator=self.generator)
        return self._unit(torch.cat(kinds))[order]

    def _microphone(self, wave: Tensor) -> Tensor:
        """Shape like cheap headsets, narrow-band radio links, wrong gain, clipping and 16-bit rounding."""
        batch, samples = wave.shape
        size = fft_size(samples)
        spectrum = torch.fft.rfft(wave, size)
        hertz = torch.linspace(0, RATE / 2, spectrum.shape[1], device=self.device)[None]
        narrow = self.chance(batch, 0.08)
        never_high, never_low = (
            torch.full((batch, 1), 9000.0, device=self.device),
            torch.ones(batch, 1, device=self.device),
        )
        top = torch.where(self.chance(batch, 0.2), self.uniform(batch, 1, low=3000, high=7500), never_high)
        bottom = torch.where(self.chance(batch, 0.4), self.uniform(batch, 1, low=50, high=350), never_low)
        top = torch.where(narrow, self.uniform(batch, 1, low=3300, high=3800), top)
        bottom = torch.where(narrow, self.uniform(batch, 1, low=100, high=300), bottom)
        steep = torch.where(narrow, 24.0, 8.0)
        gain = self._tilt(batch, spectrum.shape[1], 5, 6) / (1 + (hertz / top) ** steep).sqrt()
        wave = torch.fft.irfft(spectrum * gain / (1 + (bottom / (hertz + 1)) ** 4).sqrt(), size)[:, :samples]
        peak = wave.abs().amax(1, keepdim=True) + _QUIET
        # A narrow-band link codes with few levels, finer for quiet samples (mu-law, ITU-T G.711, with 5 to 8 bits).
        levels = 2 ** self.uniform(batch, 1, low=4, high=7)
        squeezed = torch.sign(wave) * torch.log1p(255 * wave.abs() / peak) / math.log(256)
        coded = (squeezed * levels).round() / levels
        coded = torch.sign(coded) * (256 ** coded.abs() - 1) / 255 * peak
        wave = torch.where(narrow, coded, wave)
        loud = wave.square().mean(1, keepdim=True).sqrt() + _QUIET
        wave = wave / loud * 32_768 * 10 ** (self.uniform(batch, 1, low=-55, high=-14) / 20)
        limit = wave.abs().amax(1, keepdim=True) * 10 ** (-self.uniform(batch, 1, high=12) / 20)
        wave = torch.where(self.chance(batch, 0.12), wave.clamp(-limit, limit), wave)
        return wave.round().clamp(-32_768, 32_767) + self.normal(batch, samples)
