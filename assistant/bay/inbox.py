"""The one queue into a bay: whatever happens on other threads waits here until the loop takes it out.

Every method may be called on any thread; it takes a note and returns.
"""

from __future__ import annotations

import os
import queue
from collections.abc import Callable

from assistant.bay.around import Runner
from assistant.events import Clarity, End, Heard, Source
from assistant.facts.bay import AudioKept, DeviceBack, DeviceLost, HeadsetChosen, HeadsetIs, LostWhy, SoundLost
from assistant.facts.scan import ScanFrom
from assistant.language.chosen import LANGUAGE
from assistant.terminal.trouble import TOO_LONG, lost_sound
from assistant.worker import Failure

Errand = Callable[[Runner, float], None]
"""Something to be done by the loop, with whoever it works for and the time [s since the epoch]."""


class Inbox:
    """Notes for the loop, first come first served."""

    def __init__(self) -> None:
        """Begin empty."""
        self._notes: queue.SimpleQueue[Errand] = queue.SimpleQueue()
        self.listening_stands: Callable[[], bool] = lambda: False
        """Tells whether the listening gives no sign of life just now."""
        self.hush: Callable[[], None] = lambda: None
        """Silences at once what is being said."""

    def take(self, timeout_s: float) -> Errand | None:
        """Return the next note, or None when none came within ``timeout_s`` seconds."""
        try:
            return self._notes.get(timeout=timeout_s)
        except queue.Empty:
            return None

    def put(self, note: Errand) -> None:
        """Let the loop do ``note``."""
        self._notes.put(note)

    def wake(self) -> None:
        """Wake the loop."""
        self.put(lambda _runner, _now: None)

    def heard(self, heard: Heard) -> None:
        """Answer an utterance."""
        self.put(lambda runner, now: runner.hear(heard, now))

    def pressed(self, phrase: str, source: Source, at: str = "") -> None:
        """Answer a key, a pedal or a touch; it silences at once what is being said.

        With ``at`` it counts only while the job is there in a hand-over (:meth:`Runner.handing`): what was said before
        it on another thread may have led on to a hazard, and it must confirm nothing else.
        """

        def hear(runner: Runner, now: float) -> None:
            if at and runner.handing(now) != at:
                return
            self.hush()
            runner.hear(Heard(phrase, 1.0, now, now, Clarity.PHRASE, source), now)

        self.put(hear)

    def scanned(self, text: str, source: ScanFrom = ScanFrom.KEYS) -> None:
        """Take a code that a reader read."""
        self.put(lambda runner, now: runner.scan(text, source, now))

    def unended(self) -> None:
        """Tell that a code came without its end, so that nothing of it was taken."""
        self.put(lambda runner, now: runner.announce(LANGUAGE.scans.unended(), now))

    def lost(self, end: End) -> None:
        """Tell that a device is gone."""

        def tell(runner: Runner, now: float) -> None:
            runner.record(DeviceLost(device=end), now)
            runner.announce(LANGUAGE.equipment.device_gone(end.value), now)

        self.put(tell)

    def back(self, end: End) -> None:
        """Tell that a device is there again."""

        def tell(runner: Runner, now: float) -> None:
            runner.record(DeviceBack(device=end), now)
            runner.announce(LANGUAGE.equipment.device_back(end.value), now, trouble=False)

        self.put(tell)

    def headset(self, chosen: HeadsetIs) -> None:
        """Tell which headset somebody chose at a phone."""

        def tell(runner: Runner, now: float) -> None:
            runner.record(HeadsetChosen(headset=chosen), now)
            runner.announce(LANGUAGE.equipment.headset_chosen(chosen), now, trouble=False)

        self.put(tell)

    def not_over(self, why: str) -> None:
        """Tell that nobody is heard while the assistant speaks, and why (a code)."""
        self.put(lambda runner, now: runner.announce(LANGUAGE.equipment.only_while_silent(why), now))

    def overflowed(self, pieces: int) -> None:
        """Tell that sound was lost: what was said then may be lost with it."""
        why = LostWhy.STALLED if self.listening_stands() else LostWhy.BUSY if is_busy() else LostWhy.UNKNOWN

        def tell(runner: Runner, now: float) -> None:
            runner.record(SoundLost(pieces=pieces, why=why), now)
            runner.warn(lost_sound(why), now)

        self.put(tell)

    def failed(self, failure: Failure) -> None:
        """Write down that a part broke, and tell it."""
        self.put(lambda runner, now: runner.failed(failure, now))

    def told(self, sentence: str) -> None:
        """Print what a part has to say."""
        self.put(lambda runner, now: runner.tell(sentence, now))

    def spoke_long(self) -> None:
        """Tell that the assistant has been speaking for long, and hears nothing meanwhile."""
        self.put(lambda runner, now: runner.warn(TOO_LONG, now))

    def audio_kept(self, name: str) -> None:
        """Write down the name of a file with the sound of an utterance."""
        self.put(lambda runner, now: runner.record(AudioKept(file=name), now))


def is_busy() -> bool:
    """Return whether more is to be done on this computer than its processors can do (load average of one minute)."""
    return os.getloadavg()[0] > (os.cpu_count() or 1)
