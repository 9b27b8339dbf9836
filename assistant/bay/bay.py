"""One bay at work: its parts joined to one job, and the one loop that owns the session.

The microphone, the listener, the speaker and the keyboard have threads of their own; they only put what happened into
one inbox. The loop takes it out, one thing at a time, so the session never sees two things at once. Whatever breaks on
any of them becomes an entry, a tone and a sentence on the screen, and is built again (:mod:`assistant.worker`).
"""

from __future__ import annotations

import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Protocol

from assistant.bay.dialogue import Dialogue
from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import OpenJob, closed_words
from assistant.bay.runner import JobRunner, Screen
from assistant.bay.trouble import LOOP_STANDS, SESSION_ENDED
from assistant.bay.watchdog import Watchdog, WatchedSpeaker
from assistant.clock import SteadyClock
from assistant.events import Record, ToneKind
from assistant.journal.port import JournalFault
from assistant.terminal.exits import Exit
from assistant.voice.listening.listener import TAIL_S, Listener, ListeningThread
from assistant.voice.ports import Microphone, Recogniser, Speaker, VoiceDetector
from assistant.worker import Failure, Failures, Then

_IDLE_S = 1.0
_LAST_WORDS_S = 15.0
_TRY_AGAIN_S = 20.0
_SIGNALS = {signal.SIGINT: "control-c", signal.SIGTERM: "shutdown", signal.SIGHUP: "closed terminal"}


class LiveSpeaker(Speaker, WatchedSpeaker, Protocol):
    """A speaker in real time, which can be watched."""


@dataclass(frozen=True, slots=True)
class Ears:
    """How a bay listens: ``again`` makes the recogniser anew; without a ``detector`` it is the Silero model."""

    recogniser: Recogniser
    again: Callable[[], Recogniser] | None = None
    headset: bool = False
    tail_s: float = TAIL_S
    detector: VoiceDetector | None = None


class Bay:
    """A job that is open, with its devices; :meth:`run` stays until it is closed or somebody ends the program."""

    def __init__(
        self,
        opened: OpenJob,
        inbox: Inbox,
        *,
        microphone: Microphone,
        ears: Ears,
        speaker: LiveSpeaker,
        clock: SteadyClock,
        dialogue: Dialogue,
        screen: Screen | None = None,
    ) -> None:
        """Join the parts; ``clock`` is the one that stamps what the microphone hears.

        Raises:
            VoiceFault: the voice detector cannot be loaded.
        """
        self._opened = opened
        self._inbox = inbox
        self._speaker = speaker
        self._clock = clock
        self._dialogue = dialogue
        self._screen = screen
        self._microphone = microphone
        self.listener = Listener(
            ears.recogniser,
            inbox.heard,
            is_sounding=speaker.is_sounding,
            headset=ears.headset,
            tail_s=ears.tail_s,
            detector=ears.detector,
            again=ears.again,
        )
        self._runner = JobRunner(
            opened.session,
            opened.job,
            speaker,
            dialogue,
            on_grammar=self.listener.set_grammar,
            rebuild=opened.rebuild,
            screen=screen,
            on_failure=inbox.failed,
        )
        self._failures = Failures("session", inbox.failed)
        self._seen_at = time.monotonic()
        self._gave_up = False
        self._stepped_s = 0.0
        """By how much the computer's clock was set, as long as the journal does not have it [s]."""
        self._try_step_at = 0.0

    def run(self) -> Exit:
        """Say what there is to say first, listen, and answer until the job is closed.

        Raises:
            JournalFault: the journal can no longer be read.
        """
        self._seen_at = time.monotonic()
        self._runner.carry_out(self._opened.first, self._clock.now())
        listening = ListeningThread(self._microphone, self.listener, on_failure=self._inbox.failed)
        self._inbox.listening_stands = lambda: listening.silent_s > _IDLE_S
        watchdog = Watchdog(
            listening,
            self._speaker,
            lambda: time.monotonic() - self._seen_at,
            on_long=self._inbox.spoke_long,
            on_loop=self._stands,
            on_failure=self._inbox.failed,
        )
        watchdog.start()
        try:
            return self._loop()
        finally:
            watchdog.close()
            listening.close()

    def _loop(self) -> Exit:
        runner = self._runner
        job = self._opened.job.id
        with _Stop(self._inbox.wake) as stop:
            while not runner.closed and not stop.by and not self._gave_up:
                self._seen_at = time.monotonic()
                self._safely(self._turn)
            self._seen_at = float("inf")  # nothing is awaited of the loop any more
            if runner.closed:
                self._let_it_finish(stop)
                self._dialogue.told(closed_words(job), self._clock.now())
                return Exit.OK
            if self._gave_up:
                self._answer_failures()
                return Exit.BROKEN
            self._speaker.hush()
            runner.record(Record("interrupted", {"by": stop.by}), self._clock.now())
            self._dialogue.told(f"Job {job} is kept; go on with: assistant resume {job}", self._clock.now())
            return Exit.INTERRUPTED

    def _turn(self) -> None:
        """Do the next thing that happened, and what the time brings."""
        runner, clock = self._runner, self._clock
        due = runner.next_tick()
        wait = _IDLE_S if due is None else min(_IDLE_S, max(0.0, due - clock.now()))
        note = self._inbox.take(wait)
        if note is not None:
            note(runner, clock.now())
        self._stepped_s += clock.step()
        runner.tick(clock.now())
        if self._stepped_s and clock.now() >= self._try_step_at:
            if runner.clock_stepped(self._stepped_s, clock.now()):
                self._stepped_s = 0.0
            else:
                self._try_step_at = clock.now() + _TRY_AGAIN_S  # the disk is full, for example

    def _safely(self, work: Callable[[], None]) -> None:
        """Do ``work``; when the session breaks on it, build it again from the journal.

        Raises:
            JournalFault: the journal can no longer be read.
        """
        try:
            work()
        except JournalFault:
            raise
        except Exception as fault:  # noqa: BLE001 - a fault of one answer must not end the job
            self._gave_up = self._failures.note(fault) is Then.ENDED
            self._runner.start_again(self._clock.now())

    def _answer_failures(self) -> None:
        """Write down what broke last, before the end."""
        while (note := self._inbox.take(0.0)) is not None:
            note(self._runner, self._clock.now())
        self._let_it_finish(None)
        self._dialogue.told(SESSION_ENDED, self._clock.now())

    def _stands(self) -> None:
        """Tell past the loop that it stands still."""
        self._speaker.tone(ToneKind.TROUBLE)
        if self._screen:
            self._screen.notice(LOOP_STANDS)
        self._inbox.failed(Failure("loop", "Stalled", "", Then.AGAIN))

    def _let_it_finish(self, stop: _Stop | None) -> None:
        """Wait for the last sentence, which nothing comes after."""
        until = time.monotonic() + _LAST_WORDS_S
        while self._speaker.is_sounding() and not (stop and stop.by) and time.monotonic() < until:
            time.sleep(0.05)


class _Stop:
    """Remembers that somebody asked the program to end (Control-C, a closed terminal, the system's shutdown).

    A signal must not break into a commit or an answer: it only leaves a mark, and wakes the loop that looks at it.
    """

    def __init__(self, wake: Callable[[], None]) -> None:
        """Call ``wake`` at each signal; it must be safe at any moment."""
        self.by = ""
        self._wake = wake
        self._before: dict[signal.Signals, Any] = {}

    def __enter__(self) -> _Stop:
        for number in _SIGNALS:
            self._before[number] = signal.signal(number, self._asked)
        return self

    def __exit__(self, *_fault: object) -> None:
        for number, before in self._before.items():
            signal.signal(number, before)

    def _asked(self, number: int, _frame: object) -> None:
        self.by = _SIGNALS[signal.Signals(number)]
        self._wake()
