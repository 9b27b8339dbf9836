"""One bay at work: its parts joined, and the one loop, which works for a job or for the bay between jobs.

In a room the microphone, the listener, the speaker, the keyboard and the page have threads of their own; they only put
what happened into one inbox. The loop takes it out, one thing at a time, so the session never sees two things at once.
Whatever breaks on any of them becomes an entry, a tone and a sentence on the screen, and is built again
(:mod:`assistant.worker`). A talk has no threads: the loop lets it go on, and what breaks in it is raised.
"""

from __future__ import annotations

import math
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from typing import Any, Generic, TypeVar

from assistant.bay.around import Runner
from assistant.bay.hearable import unheard
from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import OpenJob, closed_words
from assistant.bay.ports import Clock, Ears
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Then, Thresholds, ToneKind
from assistant.facts.bay import EndedBy, Interrupted
from assistant.journal.port import JournalFault
from assistant.terminal.exits import Exit
from assistant.terminal.trouble import LOOP_STANDS, SESSION_ENDED
from assistant.voice.ports import Speaker
from assistant.worker import Failure, Failures, OnFailure

_SESSION = "session"
_LAST_WORDS_S = 15.0
_TRY_AGAIN_S = 20.0
_SIGNALS = {
    signal.SIGINT: EndedBy.CONTROL_C,
    signal.SIGTERM: EndedBy.SHUTDOWN,
    signal.SIGHUP: EndedBy.CLOSED_TERMINAL,
}


AnyEars = TypeVar("AnyEars", bound=Ears)


class Bay(Generic[AnyEars]):
    """One bay: :meth:`run` works through a job with it, and stays until the job is closed or somebody ends it."""

    def __init__(
        self, microphone: AnyEars, speaker: Speaker, clock: Clock, screen: Screen, *, inbox: Inbox | None = None
    ) -> None:
        """Join the parts; in a room ``inbox`` is the one that they put their notes into."""
        self.ears, self.speaker, self.clock, self.screen = microphone, speaker, clock, screen
        self._inbox = inbox or Inbox()
        self._inbox.hush = speaker.hush
        self._failures = Failures(_SESSION, self._inbox.failed)
        self._seen_at = time.monotonic()
        self.gave_up = False
        """Whether the last runner broke again and again."""
        self.beat: Callable[[], None] = lambda: None
        """Called in each turn of the loop, at least every second: whoever watches the program sees that it lives."""
        self._stepped_s = 0.0
        """By how much the computer's clock was set, as long as the journal does not have it [s]."""
        self._try_step_at = 0.0

    @property
    def limits(self) -> Thresholds:
        """The least confidences that the ears ask for, per weight."""
        return self.ears.limits

    def run(self, opened: OpenJob, welcome: Sequence[str] = (), farewell: str = "") -> Exit:
        """Tell ``welcome``, say what there is to say first, listen, and answer until the job is closed.

        ``farewell`` is told at the end in place of how the job is kept.

        Raises:
            JournalFault: the journal can no longer be read.
            VoiceFault: a part of a talk cannot go on, or the voice detector cannot be loaded.
        """
        runner = JobRunner(
            opened,
            self.speaker,
            self.screen,
            listen_for=self.ears.listen_for,
            on_failure=self.on_failure,
        )
        missing = unheard(self.ears, opened.session)
        with self.attending(runner, [*welcome, *([missing] if missing else [])]) as stop:
            return self._ended(runner, stop, opened.job.id, farewell)

    @property
    def on_failure(self) -> OnFailure | None:
        """What is told of a part that breaks; None in a talk, where it is raised."""
        return self._inbox.failed if self.ears.is_live else None

    @contextmanager
    def attending(self, runner: Runner, welcome: Sequence[str] = ()) -> Iterator[Signals]:
        """Listen, and let ``runner`` answer until it is closed, gives up, is told to stop, or nothing comes any more.

        It is listened to still, and a signal noted, until the block that this is for ends.

        Raises:
            JournalFault: the journal can no longer be read.
            VoiceFault: a part of a talk cannot go on, or the voice detector cannot be loaded.
        """
        live = self.ears.is_live
        self._failures, self.gave_up = Failures(_SESSION, self._inbox.failed), False
        self._seen_at = time.monotonic()
        with ExitStack() as stack:
            stop = stack.enter_context(Signals(self._inbox.wake if live else None))
            runner.begin(self.clock.now(), welcome)
            stack.callback(self.ears.close)
            self.ears.begin(lambda: time.monotonic() - self._seen_at, self._stands)
            if live:
                self.screen.listen_to(self.ears.look)
            while not (runner.closed or stop.by or self.gave_up or self.ears.over):
                self._seen_at = time.monotonic()
                self.beat()
                self._safely(self._turn, runner)
            self._seen_at = math.inf  # nothing is awaited of the loop any more
            yield stop

    def _turn(self, runner: Runner) -> None:
        """Do the next thing that happened, and what the time brings."""
        clock = self.clock
        due = runner.next_tick()
        note = self.ears.take(math.inf if due is None else max(0.0, due - clock.now()))
        if note is not None:
            note(runner, clock.now())
        self._stepped_s += clock.step()
        runner.tick(clock.now())
        if self._stepped_s and clock.now() >= self._try_step_at:
            if runner.clock_set(self._stepped_s, clock.now()):
                self._stepped_s = 0.0
            else:
                self._try_step_at = clock.now() + _TRY_AGAIN_S  # the disk is full, for example

    def _safely(self, work: Callable[[Runner], None], runner: Runner) -> None:
        """Do ``work``; when the session breaks on it among people, build it again from the journal.

        Raises:
            JournalFault: the journal can no longer be read.
            VoiceFault: a part of a talk cannot go on.
        """
        try:
            work(runner)
        except JournalFault:
            raise
        except Exception as fault:
            if not self.ears.is_live:
                raise
            self.gave_up = self._failures.note(fault) is Then.ENDED
            runner.start_again(self.clock.now())

    def _ended(self, runner: JobRunner, stop: Signals, job: str, farewell: str) -> Exit:
        """Say the last words, tell how the job stands, and return how it ended."""
        if runner.closed:
            if unsaid := self.ears.unsaid():
                runner.tell(unsaid, self.clock.now())
            self._let_it_finish(stop)
            runner.tell(farewell or closed_words(job), self.clock.now())
            return Exit.OK
        if self.gave_up:
            while (note := self._inbox.take(0.0)) is not None:  # what broke last
                note(runner, self.clock.now())
            self._let_it_finish(stop)
            runner.tell(SESSION_ENDED, self.clock.now())
            return Exit.BROKEN
        if stop.by:
            self.speaker.hush()
            runner.record(Interrupted(by=stop.by), self.clock.now())
            runner.tell(f"Job {job} is kept; go on with: assistant resume {job}", self.clock.now())
            return Exit.INTERRUPTED
        is_open = f"The {self.ears.name} is over and job {job} is open; go on with: assistant resume {job}"
        runner.tell(farewell or is_open, self.clock.now())
        return Exit.OPEN

    def _stands(self) -> None:
        """Tell past the loop that it stands still."""
        self.speaker.tone(ToneKind.TROUBLE)
        self.screen.notice(LOOP_STANDS)
        self._inbox.failed(Failure("loop", "Stalled", "", Then.AGAIN))

    def _let_it_finish(self, stop: Signals) -> None:
        """Wait for the last sentence, which nothing comes after."""
        until = self.clock.now() + (_LAST_WORDS_S if self.ears.is_live else math.inf)
        while (left := self.speaker.seconds_left()) > 0 and not stop.by and self.clock.now() < until:
            self.clock.let_pass(left)


class Signals:
    """Remembers that somebody asked the program to end (Control-C, a closed terminal, the system's shutdown).

    A signal must not break into a commit or an answer: it only leaves a mark, and wakes the loop that looks at it.
    """

    def __init__(self, wake: Callable[[], None] | None) -> None:
        """Call ``wake`` at each signal; it must be safe at any moment. Without it signals do what they always do."""
        self.by: EndedBy | None = None
        self._wake = wake
        self._before: dict[signal.Signals, Any] = {}

    def __enter__(self) -> Signals:
        for number in _SIGNALS if self._wake else ():
            self._before[number] = signal.signal(number, self._asked)
        return self

    def __exit__(self, *_fault: object) -> None:
        for number, before in self._before.items():
            signal.signal(number, before)

    def _asked(self, number: int, _frame: object) -> None:
        self.by = _SIGNALS[signal.Signals(number)]
        if self._wake:
            self._wake()
