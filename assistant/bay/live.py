"""A live job: opens the journal and the devices, and gives them to one :class:`assistant.bay.bay.Bay`."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.console import Console

from assistant.bay.audio_kept import KeepingRecogniser
from assistant.bay.bay import Bay, Ears
from assistant.bay.dialogue import Dialogue
from assistant.bay.file_changes import FileChanges, changes_of_job, goes_on
from assistant.bay.inbox import Inbox
from assistant.bay.job import (
    about,
    check_tools,
    choose_recogniser,
    guarded,
    read_or_refuse,
    settings_for,
    start_synthesiser,
    unheard,
)
from assistant.bay.job_card import JobCard
from assistant.bay.job_clock import started
from assistant.bay.job_opening import OpenJob, check_resumable, open_job, resume_job, say_first
from assistant.bay.keys import Keyboard
from assistant.clock import SteadyClock
from assistant.events import Limits, Source
from assistant.files import private_folder
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, Journal
from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings, home
from assistant.shipped import procedures_folder
from assistant.terminal.exits import Exit
from assistant.voice.ports import Recogniser, VoiceFault
from assistant.voice.sound.card import SoundCard
from assistant.voice.speaking.speaker import CardSpeaker

if TYPE_CHECKING:
    from assistant.bay.display import Display, DisplayOptions

Opener = Callable[[Journal, Settings, Limits, SteadyClock], OpenJob]


def run_live(
    procedure: Path, *, card: JobCard, options: Mapping[str, Any], display_options: DisplayOptions | None = None
) -> Exit:
    """Start a job for the file ``procedure`` and stay until it is closed, or stopped by Control-C."""

    def work() -> Exit:
        settings = settings_for(options)
        reading = read_or_refuse(procedure)
        check_tools(settings.tools)
        about_job = card.facts()
        print(about(reading))

        def opener(journal: Journal, settings: Settings, limits: Limits, clock: SteadyClock) -> OpenJob:
            facts = {**about_job, "rehearsal": False, "procedure_path": str(procedure.absolute()), **started(clock)}
            return open_job(journal, reading, procedure.name, settings, limits, clock.now(), **facts)

        return _live(settings, opener, display_options, procedure.parent)

    return guarded(work)


def resume_live(job: str, *, options: Mapping[str, Any], display_options: DisplayOptions | None = None) -> Exit:
    """Go on with ``job`` and stay until it is closed, or stopped by Control-C."""
    changes: list[FileChanges] = []

    def opener(journal: Journal, _settings: Settings, limits: Limits, clock: SteadyClock) -> OpenJob:
        opened = resume_job(journal, job, limits, clock, options.get("tools") or "", options.get("operator") or "")
        for change in changes:
            opened.first = say_first(change.spoken, opened.first)
        return opened

    def work() -> Exit:
        settings = settings_for(options)
        check_resumable(job, round(SteadyClock().now() * 1000))
        if options.get("tools"):
            check_tools(options["tools"])
        if (change := changes_of_job(job)) is not None:
            changes.append(change)
            if not goes_on(change):
                return Exit.OPEN
        return _live(settings, opener, display_options, procedures_folder())

    return guarded(work)


def _live(settings: Settings, opener: Opener, display_options: DisplayOptions | None, procedures: Path) -> Exit:
    inbox = Inbox()
    clock = SteadyClock()
    console = Console(stderr=True)
    with ExitStack() as stack:
        with console.status("Opening the journal and the devices"):
            journal = stack.enter_context(open_journal(home(), bay=settings.bay))
            voices = start_synthesiser(settings, inbox.failed)  # it loads while the devices and the recogniser do
            stack.callback(voices.close)
            card = SoundCard(
                on_lost=inbox.lost,
                on_back=inbox.back,
                on_overflow=inbox.overflowed,
                on_failure=inbox.failed,
                clock=clock.now,
            )
            stack.callback(card.close)
            microphone = card.microphone(settings.microphone)
            stack.callback(microphone.close)
            loudspeaker = card.loudspeaker(settings.loudspeaker)
        with console.status("Loading the recogniser and the voice"):
            recogniser = choose_recogniser(settings)
            voices.ready()
        speaker = CardSpeaker(
            voices,
            loudspeaker,
            rate=settings.rate,
            volume=settings.volume,
            on_fault=inbox.told,
            on_failure=inbox.failed,
        )
        stack.callback(speaker.close)
        display = _display(display_options, procedures, inbox, speaker, stack)
        opened = opener(journal, settings, recogniser.limits, clock)
        now = clock.now()
        dialogue = Dialogue(sys.stdout, now)
        keep = _keeper(opened, inbox)
        bay = Bay(
            opened,
            inbox,
            microphone=microphone,
            ears=Ears(
                keep(recogniser),
                again=lambda: keep(choose_recogniser(settings)),
                headset=settings.headset,
                tail_s=settings.tail_ms / 1000,
            ),
            speaker=speaker,
            clock=clock,
            dialogue=dialogue,
            screen=display.board if display else None,
        )
        keyboard = Keyboard(
            lambda phrase, source: inbox.pressed(phrase, source, speaker.hush),
            pedal_key=settings.pedal_key,
            on_failure=inbox.failed,
        )
        keyboard.start()
        stack.callback(keyboard.close)
        go_on = LANGUAGE.phrases.phrases("next")[0]
        dialogue.told(f"Job {opened.job.id}. Say {go_on!r}, or press enter. Control-C keeps the job.", now)
        if display:
            display.listen_to(bay.listener, speaker.is_sounding, headset=settings.headset)
            dialogue.told(display.invitation(), now)
        if fault := unheard(recogniser, opened.session):
            dialogue.told(fault, now)
        return bay.run()


def _display(
    display_options: DisplayOptions | None, procedures: Path, inbox: Inbox, speaker: CardSpeaker, stack: ExitStack
) -> Display | None:
    """Serve the display when it was asked for; its buttons are keys."""
    if display_options is None:
        return None
    from assistant.bay.display import Display  # noqa: PLC0415 - the web libraries are loaded only when there is a page

    display = Display(
        display_options,
        procedures=procedures,
        press=lambda phrase: inbox.pressed(phrase, Source.TOUCH, speaker.hush),
        on_failure=inbox.failed,
    )
    stack.callback(display.close)
    return display


def _keeper(opened: OpenJob, inbox: Inbox) -> Callable[[Recogniser], Recogniser]:
    """Return what puts a recorder around a recogniser when the job was opened with permission to keep sound."""
    first: Entry = opened.job.entries()[0]
    if not first.data.get("keep_audio"):
        return lambda recogniser: recogniser
    folder = home() / "audio" / opened.job.id
    try:
        private_folder(folder.parent, ours=True)
        private_folder(folder, ours=True)
    except OSError as fault:
        raise VoiceFault(f"Sound cannot be kept in {folder} ({fault.strerror}); start without --keep-audio.") from fault
    return lambda recogniser: KeepingRecogniser(recogniser, folder, inbox.audio_kept)
