"""A typed day: a bay waits and works on typed lines, in a moment, with the real journal, jobs and sentences.

Each line is said, but for ``key: next``, ``pedal:`` and ``touch:`` (a phrase that is pressed), ``+30 min`` (time),
``talk: ...`` (no phrase) and text in quotes (dictation); a ``Pressed`` is a button of the page, a function is called.
:func:`day` gives back what was said, line by line.
"""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from assistant.bay.around import Runner
from assistant.bay.bay import Bay
from assistant.bay.inbox import Errand, Inbox
from assistant.bay.live import OpenRoom
from assistant.bay.ports import Ears
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.customer.customers import CustomerPages
from assistant.desk.pages import BayDesk
from assistant.display.board import Board
from assistant.events import Clarity, Grammar, Source
from assistant.idle.day import Day
from assistant.idle.known import KnownHere
from assistant.idle.runner import IdleRunner
from assistant.idle.state import IdleInput
from assistant.journal.opening import open_journal
from assistant.pictures.taking import PhotoPost
from assistant.rehearsal.clock import TalkClock
from assistant.rehearsal.talk import Passing, SaidLine, TalkLine
from assistant.rehearsal.typed import TypedTalk
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from assistant.terminal.exits import Exit
from assistant.voice.ports import Speaker
from assistant.voice.speaking.timed_speaker import TimedSpeaker
from assistant.workshop.line import CentralLine

BEGIN = 1_796_112_000.0
"""The first of December 2026, eight o'clock UTC."""
Line = str | IdleInput | Callable[[], object]
Timed = tuple[int, IdleInput | Callable[[], object]]
_PASSING = re.compile(r"\+(\d+) (s|min)")
_HANDS = {"key": Source.KEY, "pedal": Source.PEDAL, "touch": Source.TOUCH}


@dataclass
class Noted(Dialogue):
    """A dialogue that remembers what was said behind each line (0: before the first), and what was printed."""

    said_at: dict[int, list[str]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(io.StringIO())

    def _line(self, now: float, label: str, text: str) -> None:
        if label == "said":
            self.said_at.setdefault(self.line, []).append(text)
        if label == "note":
            self.notes.append(text)


class DayTalk(TypedTalk):
    """Lines for a whole day: what comes behind a job is not lost, and inputs of a page may be among them."""

    grammars: list[Grammar]

    @property
    def is_live(self) -> bool:  # type: ignore[override]
        """Whether what breaks in a job is told and mended, as it is among people."""
        return self.mends

    mends = False
    inbox: Inbox | None = None

    def __init__(
        self,
        lines: Sequence[TalkLine | Timed],
        speaker: TimedSpeaker,
        clock: TalkClock,
        dialogue: Noted,
    ) -> None:
        super().__init__(lines, speaker, clock, dialogue)  # type: ignore[arg-type]
        self.grammars = []

    def unsaid(self) -> str:
        """Nothing: the rest is said behind the job."""
        return ""

    def listen_for(self, grammar: Grammar) -> None:
        """Remember it."""
        self.grammars.append(grammar)

    def _steps(self) -> Iterator[int | Errand]:
        while self._lines:
            if not isinstance(self._lines[0], tuple):
                line = self._lines.pop(0)
                rest, self._lines = self._lines, [line]
                yield from super()._steps()
                self._lines = rest
                continue
            number, given = self._lines.pop(0)  # type: ignore[misc]
            yield from self._end_of_speech()
            self._dialogue.line = number
            if callable(given):

                def call(runner: Runner, now: float, given: Callable[[], object] = given) -> None:
                    given()
                    while self.inbox is not None and (note := self.inbox.take(0.0)) is not None:
                        note(runner, now)

                yield call
                continue

            def press(runner: object, now: float, given: IdleInput = given) -> None:
                if isinstance(runner, IdleRunner):
                    runner.take(given, now)

            yield press


@dataclass
class Played:
    """How a typed day went."""

    exit: Exit
    said_at: dict[int, list[str]]
    notes: list[str]
    board: Board
    talk: DayTalk
    closed: list[str]

    def said(self, line: int) -> str:
        """What was said behind a line, from one."""
        return " ".join(self.said_at.get(line, []))


def day(
    home: Path,
    lines: Iterable[Line],
    procedures: Path,
    settings: Settings | None = None,
    *,
    mends: bool = False,
    inbox: Inbox | None = None,
    line: CentralLine | None = None,
) -> Played:
    """Play the day of a bay with ``settings`` whose data lie in ``home`` (the variable is the caller's to set).

    ``line`` is that to the workshop's central store.

    With ``mends`` what breaks is told, and not raised; what is put into ``inbox`` comes behind the line that does it.
    """
    clock = TalkClock(BEGIN)
    dialogue, speaker = Noted(), TimedSpeaker(clock.now)
    talk = DayTalk([_line(number, line) for number, line in enumerate(lines, 1)], speaker, clock, dialogue)
    talk.mends, talk.inbox = mends, inbox
    board, closed = Board(), []
    ended = work_all_day(
        home, talk, speaker, clock, dialogue, board, procedures, settings or Settings(), closed, inbox, line
    )
    return Played(ended, dialogue.said_at, dialogue.notes, board, talk, closed)


def work_all_day(
    home: Path,
    ears: Ears,
    speaker: Speaker,
    clock: TalkClock,
    dialogue: Dialogue,
    board: Board,
    procedures: Path,
    settings: Settings,
    closed: list[str],
    inbox: Inbox | None = None,
    line: CentralLine | None = None,
) -> Exit:
    """Let a bay wait and work on ``ears`` until they are over."""
    inbox = inbox or Inbox()
    with open_journal(home, bay=settings.bay) as journal:
        bay = Bay[Ears](ears, speaker, clock, Screen(dialogue, board), inbox=inbox)
        room = OpenRoom(bay, inbox, SteadyClock(clock.now, clock.now), journal, CustomerPages(), PhotoPost(inbox.put))
        room.line = line
        known = KnownHere(journal, BayDesk(procedures), settings, room.elsewhere)
        return Day(room, settings, known, closed=closed.append).run([])


def _line(number: int, line: Line) -> TalkLine | Timed:
    if not isinstance(line, str):
        return number, line
    if passing := _PASSING.fullmatch(line):
        return Passing(number, int(passing[1]) * (60 if passing[2] == "min" else 1))
    head, _, rest = line.partition(": ")
    if head in _HANDS:
        return SaidLine(number, rest, _HANDS[head])
    if line.startswith('"'):
        return SaidLine(number, line.strip('"'), clarity=Clarity.DICTATION)
    if head == "talk":
        return SaidLine(number, rest, clarity=Clarity.SPEECH)
    return SaidLine(number, line)
