"""A typed talk in place of a microphone.

No sound engine is loaded. What is said takes the time that speech takes, so deadlines and timers come as they would in
the bay; whoever speaks waits for the end of each answer, unless the line says otherwise.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence

from assistant.bay.around import Runner
from assistant.bay.inbox import Errand
from assistant.bay.runner import JobRunner
from assistant.customer.answer import customer_answer
from assistant.display.board import Ear
from assistant.events import Clarity, Grammar, Heard, Source
from assistant.facts.scan import ScanFrom
from assistant.rehearsal.clock import TalkClock
from assistant.rehearsal.talk import Answering, Passing, SaidLine, Scanning, Setting, TalkLine
from assistant.terminal.dialogue import Dialogue
from assistant.voice.listening.endpointing import QUIETEST_DB
from assistant.voice.listening.limits import USUAL_LIMITS
from assistant.voice.speaking.timed_speaker import TimedSpeaker

_PAUSE_MS = 500
"""How long a polite person waits after the assistant has finished."""
_MS_PER_WORD = 400
"""Speech of 150 words a minute, a usual rate (common practice, no source)."""

_UNSURE = USUAL_LIMITS.asked
"""How surely a line is heard that is said so: as little as is asked back where it is expected."""


class TypedTalk:
    """Says line after line, and lets the time pass that this takes."""

    is_live = False
    name = "talk"
    limits = USUAL_LIMITS

    def __init__(self, lines: Sequence[TalkLine], speaker: TimedSpeaker, clock: TalkClock, dialogue: Dialogue) -> None:
        """Say ``lines`` on ``clock``; ``dialogue`` is told which of them is being answered."""
        self.over = False
        self._lines = list(lines)
        self._speaker, self._clock, self._dialogue = speaker, clock, dialogue
        self._play = self._steps()
        self._until_ms: int | None = None
        self._notes: deque[Errand] = deque()

    def put(self, note: Errand) -> None:
        """Let the loop do ``note`` before anything more is said."""
        self._notes.append(note)

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:  # noqa: ARG002
        """Return nothing: whatever is typed is understood."""
        return {}

    def begin(self, loop_silent_s: Callable[[], float], on_loop: Callable[[], None]) -> None:
        """Begin; there is nothing that could hang."""

    def listen_for(self, grammar: Grammar) -> None:
        """Listen for everything: what may be said is the session's to know."""

    def take(self, most_s: float) -> Errand | None:
        """Let the time pass up to what comes next, the end of speech included, or return what is said now."""
        if self._notes:
            return self._notes.popleft()
        if self._until_ms is None:
            step = next(self._play, None)
            if step is None:
                self.over = True
            if not isinstance(step, int):
                return step
            self._until_ms = step
        now = self._now_ms
        ends = [self._until_ms]
        if math.isfinite(most_s):
            ends.append(now + max(0, round(most_s * 1000)))
        if (left := round(self._speaker.seconds_left() * 1000)) > 0:
            ends.append(now + left)
        at = min(ends)
        if at == self._until_ms and ends.count(at) == 1:  # else what the time brings comes first
            self._until_ms = None
        self._clock.go_to(at / 1000)
        return None

    def unsaid(self) -> str:
        """Return a sentence about what was not said because the job was closed before, or ""."""
        if not self._lines:
            return ""
        return f"The job was closed before line {self._lines[0].line}; the rest was not said."

    def look(self) -> Ear:
        """Return that nobody can see what is typed."""
        return Ear("listening", QUIETEST_DB)

    def close(self) -> None:
        """Have nothing to free."""

    @property
    def _now_ms(self) -> int:
        return round(self._clock.at * 1000)

    def _steps(self) -> Iterator[int | Errand]:
        """Yield a time [ms since the epoch] to wait for, or what is said then."""
        while self._lines:
            line = self._lines.pop(0)
            match line:
                case Passing(number, seconds):
                    self._dialogue.line = number
                    self._dialogue.passed(seconds, self._clock.now())
                    yield self._now_ms + round(seconds * 1000)
                case Setting(number, seconds):
                    yield from self._end_of_speech()
                    yield _setting(self._dialogue, number, seconds)
                case Answering():
                    yield _answering(self._dialogue, line)
                case Scanning():
                    yield from self._end_of_speech()
                    yield _scanning(self._dialogue, line)
                case SaidLine():
                    yield from self._said(line)
        yield from self._end_of_speech()

    def _said(self, line: SaidLine) -> Iterator[int | Errand]:
        if line.after_s is None:
            yield from self._end_of_speech()
            yield self._now_ms + (_PAUSE_MS if line.source is Source.VOICE else 0)
        else:
            yield self._now_ms + round(line.after_s * 1000)
        self._dialogue.line = line.line
        began = self._clock.now()
        if line.source is Source.VOICE:
            yield self._now_ms + _MS_PER_WORD * max(1, len(line.text.split()))
        else:
            self._speaker.hush()  # as a key does in the bay

        def hear(runner: Runner, now: float) -> None:
            heard = Heard(line.text, 1.0 if line.is_sure else _UNSURE, began, now, line.clarity, line.source)
            runner.hear(heard, now)
            if line.clarity is Clarity.SPEECH:
                self._dialogue.heard(heard, now)  # it has no answer, and whoever reads wants to see that

        yield hear

    def _end_of_speech(self) -> Iterator[int]:
        while (left := round(self._speaker.seconds_left() * 1000)) > 0:
            yield self._now_ms + left


def _answering(dialogue: Dialogue, line: Answering) -> Errand:
    """Return what answers as the customer does on the page, who sees what is there now, and no price."""

    def answer(runner: Runner, now: float) -> None:
        dialogue.line = line.line
        works = runner.session.for_customer if isinstance(runner, JobRunner) else ()
        work = next((one for one in works if one.number == line.number), None)
        if work is None:
            runner.tell(f"The customer sees no extra work {line.number} to answer.", now)
        else:
            runner.customer(customer_answer(work, None, now, granted=line.granted), now)

    return answer


def _scanning(dialogue: Dialogue, line: Scanning) -> Errand:
    def scan(runner: Runner, now: float) -> None:
        dialogue.line = line.line
        runner.scan(line.text, ScanFrom.KEYS, now)

    return scan


def _setting(dialogue: Dialogue, number: int, seconds: float) -> Errand:
    def set_it(runner: Runner, now: float) -> None:
        dialogue.line = number
        runner.clock_set(seconds, now)

    return set_it
