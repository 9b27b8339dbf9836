"""A live job: opens the journal and a bay in this room, and works through the job with it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.bay.bay import Bay
from assistant.bay.customer_post import Post, came_too_late, into
from assistant.bay.ears import RoomEars
from assistant.bay.inbox import Inbox
from assistant.bay.job import about, check_tools, read_or_refuse, settings_for
from assistant.bay.job_opening import OpenJob, check_resumable, open_job, resume_job, say_first
from assistant.bay.keys import unbounced
from assistant.bay.options import ResumeOptions, RunOptions
from assistant.bay.refusing import guarded
from assistant.bay.room import bay_in_a_room, phone_of
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.customer.customers import CustomerPages
from assistant.desk.options import DisplayOptions
from assistant.events import Source, Thresholds
from assistant.facts.scan import ScanFrom
from assistant.files import private_folder
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, JobInfo, Journal, opened_of
from assistant.kept.file_changes import FileChanges, changes_of_job, goes_on
from assistant.kept.job_card import card_facts
from assistant.kept.job_clock import started
from assistant.kept.shim_box import box_known
from assistant.language.chosen import LANGUAGE
from assistant.pictures.store import store_of
from assistant.pictures.taking import PhotoPost
from assistant.procedure.format.reader import Reading
from assistant.settings import Settings, home
from assistant.shipped import procedures_folder
from assistant.terminal.dialogue import Dialogue
from assistant.terminal.exits import Exit
from assistant.voice.listening.keeping import KeepingRecogniser
from assistant.voice.ports import Recogniser, VoiceFault
from assistant.workshop.library_copy import age_told, bay_library
from assistant.workshop.line import CentralLine, job_brought, line_of

if TYPE_CHECKING:
    from assistant.desk.display import Display  # only a page needs the web libraries

Opener = Callable[[Journal, Thresholds, SteadyClock], OpenJob]


def run_live(procedure: Path, options: RunOptions) -> Exit:
    """Start a job for the file ``procedure`` and stay until it is closed, or stopped by Control-C."""

    def work() -> Exit:
        settings = settings_for(options)
        reading = read_or_refuse(procedure)
        starts = starter(settings, reading, procedure, card_facts(options))
        print(about(reading))
        library = bay_library()
        if library.has(procedure):
            print(f"It is from the library of the workshop. {age_told(library.asked_at, SteadyClock().now())}")
        with open_room(settings, options.page, procedure.parent) as room:
            return room.work(starts)

    return guarded(work)


def resume_live(name: str, options: ResumeOptions, from_bay: str = "") -> Exit:
    """Go on with the job ``name`` and stay until it is closed, or stopped by Control-C.

    One that another bay of the workshop has is brought here first; ``from_bay`` names that bay where it is gone.
    """
    tools, box = (str(path.absolute()) if path else "" for path in (options.tools, options.box))

    def work() -> Exit:
        settings = settings_for(options)
        job = job_brought(name, settings, from_bay)
        check_resumable(job, round(SteadyClock().now() * 1000))
        if tools:
            check_tools(tools)
        box_known(box)
        change = changes_of_job(job)
        if change is not None and not goes_on(change):
            return Exit.OPEN
        with open_room(settings, options.page, procedures_folder()) as room:
            return room.work(resumer(job, options.operator or "", change, tools=tools, box=box))

    return guarded(work)


def starter(settings: Settings, reading: Reading, procedure: Path, about_job: Mapping[str, Any]) -> Opener:
    """Return what opens a job for what was read from the file ``procedure``; ``about_job`` goes into its first entry.

    Raises:
        Refusal: the tool file, or the list of the box, has errors.
    """
    check_tools(settings.tools)
    box_known(settings.box)

    def opener(journal: Journal, limits: Thresholds, clock: SteadyClock) -> OpenJob:
        facts = {
            **about_job,
            "rehearsal": False,
            "procedure_path": str(procedure.absolute()),
            "start": started(clock),
        }
        return open_job(journal, reading, procedure.name, settings, limits, clock.now(), **facts)

    return opener


def resumer(job: str, operator: str, change: FileChanges | None, *, tools: str = "", box: str = "") -> Opener:
    """Return what goes on with ``job``; ``change`` of its file, if there is one, is said first."""

    def opener(journal: Journal, limits: Thresholds, clock: SteadyClock) -> OpenJob:
        opened = resume_job(journal, job, limits, clock, tools, operator, box)
        if change is not None:
            opened.first = say_first(change.spoken, opened.first)
        return opened

    return opener


@dataclass(slots=True)
class OpenRoom:
    """A bay in this room with everything open: its devices, its page and the journal."""

    bay: Bay[Any]
    inbox: Inbox
    clock: SteadyClock
    journal: Journal
    customers: CustomerPages
    photos: PhotoPost
    display: Display | None = None
    line: CentralLine | None = None

    def elsewhere(self) -> Sequence[JobInfo]:
        """Return the open jobs that other bays of the workshop have, as far as they are known."""
        return () if self.line is None else self.line.elsewhere

    @property
    def invitation(self) -> str:
        """Return the lines that tell people where to look; "" without a page."""
        return "" if self.display is None else self.display.invitation()

    def work(self, opener: Opener) -> Exit:
        """Work through the job that ``opener`` gives, until it is closed or stopped; then let it go.

        Raises:
            JournalFault, Refusal: it cannot be opened, or the journal can no longer be read.
            VoiceFault: there is no place for its sound, or the voice detector cannot be loaded.
        """
        with ExitStack() as stack:
            opened = opener(self.journal, self.bay.limits, self.clock)
            stack.callback(opened.job.close)
            self.customers.live(opened.job.id, into(self.inbox))
            stack.callback(self.customers.live_no_more)
            stack.enter_context(self.photos.of(store_of(opened.job.id), opened.session))
            if isinstance(self.bay.ears, RoomEars):
                self.bay.ears.keep(_keeping(opened, self.inbox))
            post = Post(opened.job, self.inbox)
            post.start()
            stack.callback(post.close)
            go_on = LANGUAGE.phrases.phrases("next")[0]
            welcome = [f"Job {opened.job.id}. Say {go_on!r}, or press enter. Control-C keeps the job."]
            if self.invitation:
                welcome.append(self.invitation)
            ended = self.bay.run(opened, welcome)
        if ended is Exit.OK:
            for sentence in came_too_late(opened.job.id):
                print(sentence)
        return ended


@contextmanager
def open_room(
    settings: Settings,
    page: DisplayOptions | None,
    procedures: Path,
    more: Callable[[Inbox], Mapping[str, Any]] = lambda _inbox: {},
    *,
    waits: bool = False,
) -> Iterator[OpenRoom]:
    """Open what ``settings`` describe, and the ``page``, whose desk lists the folder ``procedures``.

    ``more`` gives what the page takes besides; with ``waits``, devices that are not there yet are waited for.

    Raises:
        JournalFault, VoiceFault, Refusal: the journal, a device or the page cannot be opened.
    """
    inbox, clock, customers = Inbox(), SteadyClock(), CustomerPages()
    displays: list[Display] = []
    with ExitStack() as stack:
        phone = stack.enter_context(phone_of(page, inbox, clock))
        journal = stack.enter_context(open_journal(home(), bay=settings.bay))
        photos = stack.enter_context(PhotoPost(inbox.put, settings.camera, inbox.failed))
        line = stack.enter_context(line_of(settings, home(), told_by(inbox), inbox.failed))

        def screen() -> Screen:
            dialogue = Dialogue(sys.stdout)
            dialogue.begin(clock.now())
            if page is None:
                return Screen(dialogue)
            from assistant.desk.display import Display  # noqa: PLC0415 - only a page needs the web libraries

            display = Display(
                page,
                procedures=procedures,
                customers=customers,
                photos=photos,
                press=unbounced(lambda phrase, at: inbox.pressed(phrase, Source.TOUCH, at)),
                scan=lambda text: inbox.scanned(text, ScanFrom.PAGE),
                on_failure=inbox.failed,
                outside=settings.customer_address,
                **more(inbox),
                https=settings.https,
                phone=phone,
            )
            stack.callback(display.close)
            displays.append(display)
            return Screen(dialogue, display.board)

        bay = stack.enter_context(bay_in_a_room(settings, inbox, clock, screen, waits=waits, phone=phone))
        bay.screen.photos = photos.do
        yield OpenRoom(bay, inbox, clock, journal, customers, photos, displays[0] if displays else None, line)


def told_by(inbox: Inbox) -> Callable[[str], None]:
    """Return what lets whoever works behind ``inbox`` show a sentence about the equipment."""
    return lambda sentence: inbox.put(lambda runner, now: runner.warn(sentence, now))


def _keeping(opened: OpenJob, inbox: Inbox) -> Callable[[Recogniser], Recogniser]:
    """Return what keeps the sound of each utterance when the job was opened with permission to do so.

    Raises:
        VoiceFault: there is no place for it.
    """
    first: Entry = opened.job.entries()[0]
    if not opened_of(first).keep_audio:
        return lambda recogniser: recogniser
    folder = home() / "audio" / opened.job.id
    try:
        private_folder(folder.parent, ours=True)
        private_folder(folder, ours=True)
    except OSError as fault:
        raise VoiceFault(f"Sound cannot be kept in {folder} ({fault.strerror}); start without --keep-audio.") from fault
    return lambda recogniser: KeepingRecogniser(recogniser, folder, inbox.audio_kept)
