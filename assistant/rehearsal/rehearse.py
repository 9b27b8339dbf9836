"""``assistant rehearse``: a job on a recording or a typed talk, with the same bay, session and journal as in the room.

On a recording, with real recognition and real speech; on a typed talk, with neither, in a moment.
"""

from __future__ import annotations

import math
import sys
import time
from contextlib import ExitStack
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from assistant.bay.bay import Bay
from assistant.bay.job import check_tools, read_or_refuse, settings_for
from assistant.bay.job_opening import OpenJob, open_job, resume_job
from assistant.bay.refusing import guarded
from assistant.bay.screen import Page, Screen
from assistant.files import FileFault, read_file
from assistant.journal.opening import open_journal
from assistant.journal.port import Journal, opened_of
from assistant.kept.job_card import card_facts
from assistant.kept.shim_box import box_known
from assistant.pictures.store import PhotoStore, store_of
from assistant.procedure.format.reader import Reading
from assistant.rehearsal.clock import TalkClock
from assistant.rehearsal.options import RehearseOptions
from assistant.rehearsal.photos import TalkPhotos
from assistant.rehearsal.talk import MOST_TALK_BYTES, BadTalk, TalkLine, read_talk
from assistant.rehearsal.typed import TypedTalk
from assistant.settings import Settings, home
from assistant.terminal.dialogue import Dialogue, JsonDialogue
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_sound
from assistant.voice.ports import Speaker
from assistant.voice.speaking.timed_speaker import TimedSpeaker

if TYPE_CHECKING:
    from assistant.rehearsal.recorded import RecordedTalk

_TRIAL = "That was a trial: nothing of it is kept in the journal."


def run_rehearsal(procedure: Path, options: RehearseOptions) -> Exit:
    """Run a job of the file ``procedure`` on the talk that ``options`` name, with a page if they want one."""

    def work() -> Exit:
        if options.page is None:
            return rehearse_on(procedure, options)
        from assistant.desk.display import Display  # noqa: PLC0415 - only a page needs the web libraries

        display = Display(options.page, procedures=procedure.parent)
        try:
            print(display.invitation(), file=sys.stdout if options.typed is None else sys.stderr, flush=True)
            return rehearse_on(procedure, options, display.board)
        finally:
            display.close()

    return guarded(work)


def rehearse_on(procedure: Path, options: RehearseOptions, page: Page | None = None) -> Exit:
    """Do it; ``page`` is shown every view.

    Raises:
        Refusal, JournalFault, VoiceFault, SettingsFault: it cannot be done.
    """
    settings = settings_for(options)
    if options.trial and options.job:
        raise Refusal(f"A trial begins anew and is not kept: give --trial without --job {options.job}.", Exit.USAGE)
    lines = _read(options.typed) if options.typed is not None else None
    if options.audio_out is not None:
        check_sound(options.audio_out)
    reading = read_or_refuse(procedure)
    check_tools(settings.tools)
    box_known(settings.box)
    about_job = {} if options.job else card_facts(options)
    begin = time.time() if options.begin is None else options.begin.timestamp()
    start_ms = math.ceil(1000 * max(begin, _end_of(options.job, reading) if options.job else 0.0))
    clock = TalkClock(start_ms / 1000, real_time=options.real_time)
    dialogue = JsonDialogue(sys.stdout) if options.json else Dialogue(sys.stdout)
    with ExitStack() as stack:
        ears: TypedTalk | RecordedTalk
        speaker: Speaker
        if lines is not None:
            speaker = timed = TimedSpeaker(clock.now)
            ears = TypedTalk(lines, timed, clock, dialogue)
        else:
            from assistant.rehearsal.recorded import open_recording  # noqa: PLC0415 - a typed talk needs no engine

            ears, speaker = open_recording(options, settings, clock, stack)
        photos = TalkPhotos(ears.put, settings.camera)
        bay: Bay[TypedTalk | RecordedTalk] = Bay(ears, speaker, clock, Screen(dialogue, page))
        bay.screen.photos = photos.do
        journal = stack.enter_context(open_journal(None if options.trial else home(), bay=settings.bay))
        opened = _opened(journal, reading, procedure, options, settings, bay, about_job)
        photos.begin(_store(opened.job.id, stack, is_trial=options.trial))
        end = bay.run(opened, farewell=_TRIAL if options.trial else "")
        speaker.close()
        return end


def _opened(
    journal: Journal,
    reading: Reading,
    procedure: Path,
    options: RehearseOptions,
    settings: Settings,
    bay: Bay[TypedTalk | RecordedTalk],
    about_job: dict[str, object],
) -> OpenJob:
    """Open a rehearsal of what was read from ``procedure``, or go on with an open one.

    Raises:
        JournalFault: it cannot be kept, or there is no such job.
        Refusal: the tool file has errors, or the job is closed.
    """
    now = bay.clock.now()
    if options.job:
        tools = str(options.tools.absolute()) if options.tools else ""
        box = str(options.box.absolute()) if options.box else ""
        return resume_job(journal, options.job, bay.limits, now, tools, options.operator or "", box)
    facts = {**about_job, "rehearsal": True, "procedure_path": str(procedure.absolute())}
    return open_job(journal, reading, procedure.name, settings, bay.limits, now, **facts)


def _store(job: str, stack: ExitStack, *, is_trial: bool) -> PhotoStore:
    """Return where the photos of ``job`` lie; those of a trial are gone with it."""
    return PhotoStore(Path(stack.enter_context(TemporaryDirectory())) / "photos" / job) if is_trial else store_of(job)


def _end_of(job: str, reading: Reading) -> float:
    """Return the time [s since the epoch] of the last entry of ``job``, which may be ahead of the clock on the wall.

    Raises:
        Refusal: it is no rehearsal of the procedure that was read.
        JournalFault: it cannot be read.
    """
    with open_journal(home(), read_only=True) as journal:
        opened, entries = opened_of(journal.first(job)), journal.read(job).entries
    if not opened.rehearsal:
        raise Refusal(f"Job {job} is no rehearsal; go on with: assistant resume {job}", Exit.USAGE)
    if opened.procedure_sha256 != reading.usable.sha256:
        sentence = f"Job {job} was opened with another content of {opened.procedure_file}; give that file, unchanged"
        raise Refusal(sentence, Exit.USAGE)
    return entries[-1].at_ms / 1000


def _read(talk: Path) -> list[TalkLine]:
    """Read the typed talk.

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
