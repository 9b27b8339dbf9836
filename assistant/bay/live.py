"""A live job: opens the journal and a bay in this room, and works through the job with it."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from assistant.bay.customer_post import Post, came_too_late, into
from assistant.bay.ears import RoomEars
from assistant.bay.inbox import Inbox
from assistant.bay.job import about, check_tools, guarded, read_or_refuse, settings_for
from assistant.bay.job_card import card_facts
from assistant.bay.job_opening import OpenJob, check_resumable, open_job, resume_job, say_first
from assistant.bay.keys import unbounced
from assistant.bay.options import ResumeOptions, RunOptions
from assistant.bay.room import bay_in_a_room
from assistant.bay.screen import Screen
from assistant.bay.shim_box import box_known
from assistant.clock import SteadyClock
from assistant.customer.customers import CustomerPages
from assistant.desk.options import DisplayOptions
from assistant.events import Source, Thresholds
from assistant.files import private_folder
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, Journal, opened_of
from assistant.kept.file_changes import FileChanges, changes_of_job, goes_on
from assistant.kept.job_clock import started
from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings, home
from assistant.shipped import procedures_folder
from assistant.terminal.dialogue import Dialogue
from assistant.terminal.exits import Exit
from assistant.voice.listening.keeping import KeepingRecogniser
from assistant.voice.ports import Recogniser, VoiceFault

Opener = Callable[[Journal, Thresholds, SteadyClock], OpenJob]


def run_live(procedure: Path, options: RunOptions) -> Exit:
    """Start a job for the file ``procedure`` and stay until it is closed, or stopped by Control-C."""

    def work() -> Exit:
        settings = settings_for(options)
        reading = read_or_refuse(procedure)
        check_tools(settings.tools)
        box_known(settings.box)
        about_job = card_facts(options)
        print(about(reading))

        def opener(journal: Journal, limits: Thresholds, clock: SteadyClock) -> OpenJob:
            facts = {
                **about_job,
                "rehearsal": False,
                "procedure_path": str(procedure.absolute()),
                "start": started(clock),
            }
            return open_job(journal, reading, procedure.name, settings, limits, clock.now(), **facts)

        return _live(settings, opener, options.page, procedure.parent)

    return guarded(work)


def resume_live(job: str, options: ResumeOptions) -> Exit:
    """Go on with ``job`` and stay until it is closed, or stopped by Control-C."""
    changes: list[FileChanges] = []
    tools, box = (str(path.absolute()) if path else "" for path in (options.tools, options.box))

    def opener(journal: Journal, limits: Thresholds, clock: SteadyClock) -> OpenJob:
        opened = resume_job(journal, job, limits, clock, tools, options.operator or "", box)
        for change in changes:
            opened.first = say_first(change.spoken, opened.first)
        return opened

    def work() -> Exit:
        settings = settings_for(options)
        check_resumable(job, round(SteadyClock().now() * 1000))
        if tools:
            check_tools(tools)
        box_known(box)
        if (change := changes_of_job(job)) is not None:
            changes.append(change)
            if not goes_on(change):
                return Exit.OPEN
        return _live(settings, opener, options.page, procedures_folder())

    return guarded(work)


def _live(settings: Settings, opener: Opener, page: DisplayOptions | None, procedures: Path) -> Exit:
    inbox, clock, customers = Inbox(), SteadyClock(), CustomerPages()
    welcome: list[str] = []
    with ExitStack() as stack:
        journal = stack.enter_context(open_journal(home(), bay=settings.bay))

        def screen() -> Screen:
            dialogue = Dialogue(sys.stdout)
            if page is None:
                return Screen(dialogue)
            from assistant.desk.display import Display  # noqa: PLC0415 - only a page needs the web libraries

            display = Display(
                page,
                procedures=procedures,
                customers=customers,
                press=unbounced(lambda phrase: inbox.pressed(phrase, Source.TOUCH)),
                on_failure=inbox.failed,
                outside=settings.customer_address,
            )
            stack.callback(display.close)
            welcome.append(display.invitation())
            return Screen(dialogue, display.board)

        bay = stack.enter_context(bay_in_a_room(settings, inbox, clock, screen))
        opened = opener(journal, bay.limits, clock)
        customers.live(opened.job.id, into(inbox))
        _keep_audio(bay.ears, opened, inbox)
        go_on = LANGUAGE.phrases.phrases("next")[0]
        welcome.insert(0, f"Job {opened.job.id}. Say {go_on!r}, or press enter. Control-C keeps the job.")
        post = Post(opened.job, inbox)
        post.start()
        stack.callback(post.close)
        ended = bay.run(opened, welcome)
        if ended is Exit.OK:
            for sentence in came_too_late(opened.job.id):
                print(sentence)
        return ended


def _keep_audio(ears: RoomEars, opened: OpenJob, inbox: Inbox) -> None:
    """Keep the sound of each utterance when the job was opened with permission to do so.

    Raises:
        VoiceFault: there is no place for it.
    """
    first: Entry = opened.job.entries()[0]
    if not opened_of(first).keep_audio:
        return
    folder = home() / "audio" / opened.job.id
    try:
        private_folder(folder.parent, ours=True)
        private_folder(folder, ours=True)
    except OSError as fault:
        raise VoiceFault(f"Sound cannot be kept in {folder} ({fault.strerror}); start without --keep-audio.") from fault

    def keeping(recogniser: Recogniser) -> Recogniser:
        return KeepingRecogniser(recogniser, folder, inbox.audio_kept)

    ears.keep(keeping)
