"""What the loudspeaker was given, laid beside what the microphone hears: the reference of the echo canceller.

The two ends of a sound card, and more so two devices, run on clocks of their own, and the times that their blocks carry
jitter by the length of a buffer. So each stream is counted in samples, and the times only steer: their mean tells how
far the reading has run away, and one sample is left out or read twice when that is more than a few milliseconds.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable

import numpy as np

from assistant.voice.adapters.resample import StreamResampler
from assistant.voice.ports import RATE, Samples
from assistant.voice.speaking.speaker import Sink

LAG_S = 0.03
"""How much later than it was given a sample is laid beside the microphone's [s]: no echo is sooner, since both ends of
a card keep some sound back, and what comes late must have come by then."""
_EARLIER_S = 0.1
"""The canceller gets what was played so much earlier than it arrives [s]: it looks for up to half a second of delay."""
_KEPT_S = 2.0
_SETTLE = 0.01
"""How far the mean of the times follows a new one."""
_FAR_S = 0.004
"""From this error on single samples are left out or read twice."""
_LOST_S = 0.1
"""From this error on, something was lost or began anew, and the reading begins anew as well."""
_AHEAD_S = 0.02
_EVERY = 10
"""A sample is left out or read twice in each tenth block at most: 300 in a million, three times what a poor crystal is
off by (100 in a million; common practice, no source)."""
_PIECES_MOST = 500


def lag_of(delay_s: float) -> float:
    """Return by how much what was played is held back [s]; it takes ``delay_s`` from the program to its hearing."""
    return max(LAG_S, delay_s - _EARLIER_S)


class PlayedSound:
    """Keeps the last seconds of what was given. ``given`` is for the audio thread; the rest is for one other thread."""

    def __init__(self, lag_s: float = LAG_S) -> None:
        """Lay each sample ``lag_s`` seconds later than it was given; the canceller must look for less delay then."""
        self._lag_s = lag_s
        self._pieces: deque[tuple[Samples, int, float]] = deque(maxlen=_PIECES_MOST)
        self._track: _Track | None = None

    def given(self, samples: Samples, rate_hz: int, at: float) -> None:
        """Take ``samples``, shape (n,), ``rate_hz`` a second, which the loudspeaker got at ``at`` [s]."""
        self._pieces.append((samples, rate_hz, at))

    def beside(self, ended_at: float, count: int) -> Samples:
        """Return the ``count`` samples, 16 kHz, shape (count,), beside those that the microphone gave at ``ended_at``.

        The blocks of the microphone must be asked for in order. Where nothing was given it is silence.
        """
        while self._pieces:
            samples, rate_hz, at = self._pieces.popleft()
            if self._track is None or not self._track.goes_on(rate_hz, at):
                self._track = _Track(rate_hz, at)  # another device, or one that was gone
            self._track.take(samples, at)
        if self._track is None:
            return np.zeros(count, dtype=np.int16)
        return self._track.read(ended_at - self._lag_s, count)


class _Track:
    """What one loudspeaker was given, as 16 kHz, and how far it was read."""

    def __init__(self, rate_hz: int, at: float) -> None:
        self._rate_hz = rate_hz
        self._resampler = StreamResampler(rate_hz, RATE)
        self._begun = at
        """When its first sample was given, by the mean of all times [s]."""
        self._taken = 0
        self._fresh: list[Samples] = []
        self._kept: Samples = np.zeros(0, dtype=np.int16)
        self._end = 0
        """Number of the sample behind the last that is kept."""
        self._next: int | None = None
        self._error = 0.0
        self._held = 0
        """Samples that it reads later than it was asked to, because what was asked for came late."""
        self._unsteered = 0

    def goes_on(self, rate_hz: int, at: float) -> bool:
        """Return whether what was given at ``at`` [s] follows on what was taken."""
        return rate_hz == self._rate_hz and abs(at - self._taken / rate_hz - self._begun) < _LOST_S

    def take(self, samples: Samples, at: float) -> None:
        """Take the next ``samples``, given at ``at`` [s]."""
        self._begun += _SETTLE * (at - self._taken / self._rate_hz - self._begun)
        self._taken += samples.size
        self._fresh.append(self._resampler.feed(samples))

    def read(self, until: float, count: int) -> Samples:
        """Return the ``count`` samples up to the time ``until`` [s]."""
        if self._fresh:
            self._end += sum(piece.size for piece in self._fresh)
            self._kept = np.concatenate([self._kept, *self._fresh])[-round(_KEPT_S * RATE) :]
            self._fresh.clear()
        wanted = (until - self._begun) * RATE - count - self._held
        if self._next is None or abs(self._error) > _LOST_S * RATE:
            self._next, self._error = round(wanted), 0.0
        self._error += _SETTLE * (wanted - self._next - self._error)
        first = self._next + self._step()
        ahead = first + count - self._end
        if 0 < ahead <= _AHEAD_S * RATE:  # it has not come yet: read later from now on, for a hole is worse
            first -= ahead
            self._held += ahead
        self._next = first + count
        out = np.zeros(count, dtype=np.int16)
        begins = self._end - self._kept.size
        low, high = max(first, begins), min(first + count, self._end)
        if low < high:
            out[low - first : high - first] = self._kept[low - begins : high - begins]
        return out

    def _step(self) -> int:
        """Return 1 to leave out a sample, -1 to read one twice: the clocks ran apart."""
        self._unsteered += 1
        if abs(self._error) < _FAR_S * RATE or self._unsteered < _EVERY:
            return 0
        step = 1 if self._error > 0 else -1
        self._error -= step
        self._unsteered = 0
        return step


class TappedLoudspeaker:
    """A loudspeaker that tells what it was given: the samples, their rate [Hz], and when [s]; on the audio thread."""

    def __init__(
        self, loudspeaker: Sink, clock: Callable[[], float], given: Callable[[Samples, int, float], None]
    ) -> None:
        self._inner, self._clock, self._given = loudspeaker, clock, given

    @property
    def rate_hz(self) -> int:
        """Samples per second."""
        return self._inner.rate_hz

    @property
    def latency_s(self) -> float:
        """Seconds from a sample's being asked for to its being heard."""
        return self._inner.latency_s

    @property
    def alive(self) -> bool:
        """Whether the device is there and plays."""
        return self._inner.alive

    def start(self, pull: Callable[[int], Samples]) -> None:
        """Begin to play what ``pull`` gives."""

        def give(count: int) -> Samples:
            samples = pull(count)
            self._given(samples, self._inner.rate_hz, self._clock())
            return samples

        self._inner.start(give)

    def close(self) -> None:
        """Stop and free the device."""
        self._inner.close()
