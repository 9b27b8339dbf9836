"""A job on a typed talk: the same session, journal and dialogue, on a clock that runs as fast as the machine can.

No sound engine is loaded. What is said takes the time that speech takes, so deadlines and timers come as they would in
the bay; whoever speaks waits for the end of each answer, unless the line says otherwise.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.bay.dialogue import Dialogue, JsonDialogue
from assistant.bay.job import check_tools, guarded, read_or_refuse, settings_for
from assistant.bay.job_card import JobCard
from assistant.bay.job_opening import closed_words
from assistant.bay.runner import JobRunner, Screen
from assistant.events import Clarity, Heard, Limits, Record, Source
from assistant.files import FileFault, read_file
from assistant.journal.opening import open_journal
from assistant.journal.port import JobHandle
from assistant.rehearsal.job import end_of, rehearsal_job, shown
from assistant.rehearsal.talk import MOST_TALK_BYTES, BadTalk, Passing, Setting, TalkLine, Utterance, read_talk
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.voice.speaking.timed_speaker import TimedSpeaker

if TYPE_CHECKING:
    from assistant.bay.display import DisplayOptions

_PAUSE_MS = 500
"""How long a polite person waits after the assistant has finished."""
_MS_PER_WORD = 400
"""Speech of 150 words a minute, a usual rate (common practice, no source)."""


def run_typed(
    procedure: Path,
    talk: Path,
    *,
    card: JobCard,
    options: Mapping[str, Any],
    job: str = "",
    as_json: bool = False,
    begin: float | None = None,
    trial: bool = False,
    display_options: DisplayOptions | None = None,
    real_time: bool = False,
) -> Exit:
    """Run the job of the file ``procedure`` on the typed ``talk`` (``-``: the standard input).

    ``begin`` is when it begins [s since the epoch], now by default; with ``as_json`` the dialogue and the records are
    JSON lines. A ``trial`` is kept in memory alone: nothing of it is in the journal. The rest is as for a rehearsal on
    a recording.
    """

    def work(screen: Screen | None) -> Exit:
        return rehearse_typed(
            procedure, talk, card=card, options=options, job=job, as_json=as_json, begin=begin, trial=trial,
            screen=screen, real_time=real_time,
        )  # fmt: skip

    return guarded(lambda: shown(display_options, procedure.parent, sys.stderr, work))


def rehearse_typed(
    procedure: Path,
    talk: Path,
    *,
    card: JobCard,
    options: Mapping[str, Any],
    job: str,
    as_json: bool,
    begin: float | None,
    trial: bool,
    screen: Screen | None,
    real_time: bool,
) -> Exit:
    """Do it; ``screen`` is shown every view.

    Raises:
        Refusal, JournalFault, SettingsFault: it cannot be done.
    """
    settings = settings_for(options)
    if trial and job:
        raise Refusal(f"A trial begins anew and is not kept: give --trial without --job {job}.", Exit.USAGE)
    lines = _read(talk)
    reading = read_or_refuse(procedure)
    check_tools(settings.tools)
    about_job = {} if job else card.facts()
    start_ms = math.ceil(1000 * max(time.time() if begin is None else begin, end_of(job, reading) if job else 0.0))
    clock = _Clock(start_ms, real_time=real_time)
    dialogue = JsonDialogue(sys.stdout, clock()) if as_json else Dialogue(sys.stdout, clock())
    with open_journal(None if trial else home(), bay=settings.bay) as journal:
        opened = rehearsal_job(
            journal, job, reading, procedure, settings=settings, limits=Limits(), now=clock(), options=options,
            about_job=about_job,
        )  # fmt: skip
        speaker = TimedSpeaker(clock)
        runner = JobRunner(
            opened.session,
            opened.job,
            speaker,
            dialogue,
            on_grammar=lambda _grammar: None,
            rebuild=opened.rebuild,
            screen=screen,
        )
        dialogue.kept(_begun_with(opened.job), clock())
        runner.carry_out(opened.first, clock())
        _Play(runner, speaker, clock, dialogue).play(lines)
    if trial:
        dialogue.told("That was a trial: nothing of it is kept in the journal.", clock())
        return Exit.OK if runner.closed else Exit.OPEN
    if runner.closed:
        dialogue.told(closed_words(opened.job.id), clock())
        return Exit.OK
    sentence = f"The talk is over and job {opened.job.id} is open; go on with: assistant resume {opened.job.id}"
    dialogue.told(sentence, clock())
    return Exit.OPEN


def _begun_with(job: JobHandle) -> list[Record]:
    """Return what was put into the journal when the job was opened, or taken up again just now."""
    records = [Record(entry.kind, entry.data) for entry in job.entries()]
    first = max(place for place, record in enumerate(records) if record.kind in ("opened", "resumed"))
    return records[first:]


def _read(talk: Path) -> list[TalkLine]:
    """Read the talk.

    Raises:
        Refusal: it cannot be read, or one of its lines makes no sense.
    """
    name = "standard input" if str(talk) == "-" else str(talk)
    data = (
        sys.stdin.buffer.read(MOST_TALK_BYTES + 1)
        if str(talk) == "-"
        else read_file(talk, MOST_TALK_BYTES, "a typed talk")
    )
    if isinstance(data, FileFault):
        raise Refusal(f"{data.sentence}.", Exit.PROCEDURE)
    try:
        return read_talk(data, name)
    except BadTalk as bad:
        raise Refusal(bad.sentence, Exit.PROCEDURE) from bad


class _Clock:
    """The time of the job, in whole milliseconds as the journal keeps it; called, it tells the seconds."""

    def __init__(self, now_ms: int, *, real_time: bool) -> None:
        self.now_ms = now_ms
        self._ahead_s = now_ms / 1000 - time.monotonic() if real_time else None

    def __call__(self) -> float:
        return self.now_ms / 1000

    def go_to(self, at_ms: int) -> None:
        """Let it be ``at_ms``, never earlier than it was; in real time, wait until it is."""
        self.now_ms = max(self.now_ms, at_ms)
        if self._ahead_s is not None:
            time.sleep(max(0.0, self() - time.monotonic() - self._ahead_s))


class _Play:
    """Says line after line, and lets the time pass that this takes."""

    def __init__(self, runner: JobRunner, speaker: TimedSpeaker, clock: _Clock, dialogue: Dialogue) -> None:
        self._runner = runner
        self._speaker = speaker
        self._clock = clock
        self._dialogue = dialogue

    def play(self, lines: Sequence[TalkLine]) -> None:
        """Play ``lines`` until the job is closed, and let the assistant finish."""
        for line in lines:
            if self._runner.closed:
                self._dialogue.told(
                    f"The job was closed before line {line.line}; the rest was not said.", self._clock()
                )
                break
            if isinstance(line, Passing):
                self._dialogue.line = line.line
                self._dialogue.passed(line.seconds, self._clock())
                self._pass_to(self._clock.now_ms + round(line.seconds * 1000))
            elif isinstance(line, Setting):
                self._let_it_finish()
                self._dialogue.line = line.line
                self._runner.clock_stepped(line.seconds, self._clock())
            else:
                self._say(line)
        self._let_it_finish()

    def _say(self, line: Utterance) -> None:
        if line.after_s is None:
            self._let_it_finish()
            self._pass_to(self._clock.now_ms + (_PAUSE_MS if line.source is Source.VOICE else 0))
        else:
            self._pass_to(self._clock.now_ms + round(line.after_s * 1000))
        self._dialogue.line = line.line
        began = self._clock()
        if line.source is Source.VOICE:
            self._pass_to(self._clock.now_ms + _MS_PER_WORD * max(1, len(line.text.split())))
        else:
            self._speaker.hush()  # as a key does in the bay
        heard = Heard(line.text, 1.0, began, self._clock(), line.clarity, line.source)
        self._runner.hear(heard, self._clock())
        if line.clarity is Clarity.SPEECH:
            self._dialogue.heard(heard, self._clock())  # it has no answer, and whoever reads wants to see that

    def _pass_to(self, until_ms: int) -> None:
        """Let time pass, stopping wherever something is due on the way."""
        while (due := self._runner.next_tick()) is not None and round(due * 1000) <= until_ms:
            self._clock.go_to(round(due * 1000))
            self._runner.tick(self._clock())
        self._clock.go_to(until_ms)

    def _let_it_finish(self) -> None:
        while (left_ms := round(self._speaker.seconds_left() * 1000)) > 0:
            self._pass_to(self._clock.now_ms + left_ms)
