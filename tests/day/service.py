"""The bay as a service on the sound devices of the workshop, and a person who speaks to it as long as it takes."""

from __future__ import annotations

import subprocess
import time
from collections.abc import Callable, Mapping
from pathlib import Path

from tests.devices.pulse import RECORD_HZ, PulseBay, Recording
from tests.service.manager import NotifySocket, Unit, kill, start
from tests.whole_jobs.workshop import Assistant, loud, say

PATIENCE_S = 15.0
"""A person who got no answer for so long says it again."""
TIMES = 6
PAUSE = RECORD_HZ * 6 // 10
"""So many samples of silence, and a person speaks."""


class Service(Assistant):
    """The bay, begun by what its unit says; ``notify`` is what its manager hears of it."""

    def __init__(self, unit: Unit, folder: Path, manager: Mapping[str, str], recording: Recording) -> None:
        """Begin it in the environment ``manager``; its words are read with the ``recording`` of the loudspeaker."""
        self.notify = NotifySocket(folder)
        process = start(unit, self.notify, manager, text=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        self._attend(recording, process)

    def told(self, what: str, seconds: float = 120.0) -> None:
        """Wait until the manager was told ``what``."""
        self.until(lambda: self.notify.hears(what), f"{what} at the manager", seconds)

    def noted(self, what: str) -> None:
        """Wait until ``what`` is in a line of the log."""
        self.until(lambda: any(what in text for text in self.texts("note")), f"the note {what}", 120.0)

    def ask(self, bay: PulseBay, phrase: str, answer: str, *, behind: str = "") -> None:
        """Say ``phrase`` until the answer has ``answer`` in it, and wait until that was spoken.

        ``behind`` is said again before it, where it was not taken twice: what that opened may have run out.
        """
        said = len(self.texts("said"))

        def answered() -> bool:
            return any(answer in text for text in self.texts("said")[said:])

        def not_taken() -> bool:
            new = {(line.label, line.text) for line in self.lines[lines:]}
            return not new.isdisjoint({("tone", "not understood"), ("said", "Say again.")})

        for turn in range(TIMES):
            for words in (behind, phrase) if turn > 1 and behind else (phrase,):
                self.quiet()
                lines = len(self.lines)
                say(bay, words).wait()
                self._comes(lambda: answered() or len(self.lines) > lines)  # noqa: B023
            if len(self.lines) > lines:  # it was heard, as whatever
                self._comes(lambda: answered() or not_taken())
            self.quiet()
            if answered():
                return
        raise AssertionError(f"{phrase} did not lead to {answer!r}\n{self.story()}")

    def quiet(self) -> None:
        """Wait until what was said last has been spoken."""
        if sounds := [line.at for line in self.lines if line.label in ("said", "tone")]:
            self._comes(lambda: loud(self._recording.so_far(sounds[-1])))
        self._comes(lambda: not loud(self._recording.so_far(self._recording.size - PAUSE)))

    def kill(self) -> int:
        """Kill it as ``kill -9`` does; return how it ended."""
        code = kill(self.process)
        self.end()
        return code

    def _comes(self, happened: Callable[[], bool]) -> bool:
        """Return whether it ``happened`` before a person says it again."""
        began = time.monotonic()
        while not happened():
            assert self.process.poll() is None, f"it ended\n{self.story()}"
            if time.monotonic() - began > PATIENCE_S:
                return False
            time.sleep(0.02)
        return True

    def __exit__(self, *fault: object) -> None:
        kill(self.process)
        self.notify.close()
        super().__exit__(*fault)
