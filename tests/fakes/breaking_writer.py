"""Writers of notes that break, hang, end their process, or write what nobody said: a real one cannot be asked to."""

from __future__ import annotations

import os
import threading
from collections.abc import Sequence

from assistant.voice.ports import Samples, Written


class OddWriter:
    """Raises a ValueError at every note."""

    doubt = 0.0
    """How much likelier what it writes is than whatever it is asked about [nats]."""
    chance = 0.0
    """The log of the chance of what it writes [nats]."""

    def write(self, samples: Samples) -> str:
        """Break.

        Raises:
            ValueError: always.
        """
        raise ValueError("odd sound")

    def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
        """Write, and doubt each of ``said`` as much as it was told."""
        return Written(self.write(samples), (self.doubt,) * len(said), self.chance)

    def close(self) -> None:
        """Have nothing to free."""


class HangingWriter(OddWriter):
    """Never comes back from a note."""

    def write(self, samples: Samples) -> str:
        """Hang."""
        threading.Event().wait()
        return ""


class EndingWriter(OddWriter):
    """Ends its process at every note, as native code does that touches what is not its own."""

    def write(self, samples: Samples) -> str:
        """End."""
        os.abort()


class TellWriter(OddWriter):
    """Writes what it was told to, one text after another; each may wait until ``go`` is set.

    Asked how likely other words are, it has written the sound already, as the real one has.
    """

    def __init__(self, *texts: str) -> None:
        """Write ``texts``."""
        self.texts = list(texts)
        self.go = threading.Event()
        self.go.set()
        self.took: list[int] = []
        """How many samples each note had."""
        self._wrote: tuple[Samples, str] | None = None

    def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
        """Write, or doubt each of ``said`` beside what was written of the same sound just before."""
        if not said or self._wrote is None or samples is not self._wrote[0]:
            self._wrote = samples, self.write(samples)
        return Written(self._wrote[1], (self.doubt,) * len(said), self.chance)

    def write(self, samples: Samples) -> str:
        """Write the next one."""
        assert self.go.wait(10)
        self.took.append(samples.size)
        return self.texts.pop(0)
