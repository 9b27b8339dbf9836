"""A microphone that a test talks into: what is fed comes out, and nothing else."""

from __future__ import annotations

import queue

from assistant.voice.ports import Block


class FedMicrophone:
    """Gives the blocks that were fed, in order; never ends by itself."""

    def __init__(self) -> None:
        """Be silent."""
        self._blocks: queue.SimpleQueue[Block | None] = queue.SimpleQueue()
        self._ended = False

    def feed(self, blocks: list[Block]) -> None:
        """Let these be heard."""
        for block in blocks:
            self._blocks.put(block)

    def read(self, timeout: float) -> Block | None:
        """Return the next block, or None when none was fed within ``timeout`` seconds."""
        try:
            return self._blocks.get(timeout=timeout)
        except queue.Empty:
            return None

    @property
    def is_empty(self) -> bool:
        """Whether all that was fed was read."""
        return self._blocks.empty()

    @property
    def ended(self) -> bool:
        """Whether it was closed."""
        return self._ended

    def close(self) -> None:
        """Give nothing any more."""
        self._ended = True
        self._blocks.put(None)
