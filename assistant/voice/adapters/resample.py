"""Changes the sampling rate, whole sounds or block by block. The one adapter of soxr."""

from __future__ import annotations

import numpy as np
import soxr

from assistant.voice.ports import Samples


def resample(samples: Samples, from_hz: int, to_hz: int) -> Samples:
    """Return ``samples``, shape (n,), taken ``from_hz`` times a second, as if taken ``to_hz`` times a second."""
    if from_hz == to_hz or not samples.size:
        return samples
    return np.asarray(soxr.resample(samples, from_hz, to_hz, quality="HQ"), dtype=np.int16)


class StreamResampler:
    """Resamples a stream that comes in pieces, without a click where they meet. One instance serves one stream."""

    def __init__(self, from_hz: int, to_hz: int) -> None:
        """Go from ``from_hz`` samples per second to ``to_hz``; the filter holds back 15 to 40 ms of sound."""
        self._stream = soxr.ResampleStream(from_hz, to_hz, 1, dtype="int16", quality="HQ") if from_hz != to_hz else None

    def feed(self, samples: Samples, *, last: bool = False) -> Samples:
        """Take the next samples, shape (n,), and return what is ready, shape (m,); ``last`` empties the filter."""
        if self._stream is None:
            return samples
        return np.asarray(self._stream.resample_chunk(samples, last=last), dtype=np.int16)
