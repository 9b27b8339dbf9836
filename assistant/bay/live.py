"""A live job: microphone and loudspeaker, keyboard and pedal, one loop that owns the session.

The microphone, the listener, the speaker and the keyboard have threads of their own; they only put what happened into
one queue. The loop takes it out, one thing at a time, so the session never sees two things at once.
"""

from __future__ import annotations

import contextlib
import queue
import signal
import sys
import time
from collections.abc import Callable, Mapping
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.console import Console

from assistant.bay.audio_kept import KeepingRecogniser
from assistant.bay.comparing import FileChanges, changes_of_job, goes_on
from assistant.bay.conductor import Conductor
from assistant.bay.dialogue import Dialogue
from assistant.bay.exits import Exit
from assistant.bay.job import (
    OpenJob,
    about,
    check_resumable,
    check_tools,
    choose_recogniser,
    choose_synthesiser,
    guarded,
    journal_path,
    open_job,
    read_or_refuse,
    resume_job,
    say_first,
    settings_for,
    unheard,
)
from assistant.bay.job_card import JobCard
from assistant.bay.keys import Keyboard
from assistant.events import Clarity, Heard, Limits, Record, Source
from assistant.journal.port import Entry
from assistant.journal.sqlite import SqliteJournal
from assistant.settings import Settings, home, private_folder
from assistant.voice.card import SoundCard
from assistant.voice.devices import End
from assistant.voice.listener import Listener, ListeningThread
from assistant.voice.ports import Recogniser, VoiceFault
from assistant.voice.speaker import CardSpeaker

if TYPE_CHECKING:
    from assistant.bay.display import Display, DisplayOptions

_IDLE_S = 1.0
_SIGNALS = {signal.SIGINT: "control-c", signal.SIGTERM: "shutdown", signal.SIGHUP: "closed terminal"}
Inbox = queue.SimpleQueue[Callable[[Conductor, float], None]]
Opener = Callable[[SqliteJournal, Settings, Limits, float], OpenJob]


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

        def opener(journal: SqliteJournal, settings: Settings, limits: Limits, now: float) -> OpenJob:
            facts = {**about_job, "rehearsal": False, "procedure_path": str(procedure.absolute())}
            return open_job(journal, reading, procedure.name, settings, limits, now, **facts)

        return _live(settings, opener, display_options, procedure.parent)

    return guarded(work)


def resume_live(job: str, *, options: Mapping[str, Any], display_options: DisplayOptions | None = None) -> Exit:
    """Go on with ``job`` and stay until it is closed, or stopped by Control-C."""
    changes: list[FileChanges] = []

    def opener(journal: SqliteJournal, _settings: Settings, limits: Limits, now: float) -> OpenJob:
        opened = resume_job(journal, job, limits, now, options.get("tools") or "", options.get("operator") or "")
        for change in changes:
            opened.first = say_first(change.spoken, opened.first)
        return opened

    def work() -> Exit:
        settings = settings_for(options)
        check_resumable(journal_path(), job)
        if options.get("tools"):
            check_tools(options["tools"])
        if (change := changes_of_job(job)) is not None:
            changes.append(change)
            if not goes_on(change):
                return Exit.OPEN
        return _live(settings, opener, display_options, Path("procedures"))

    return guarded(work)


def _live(settings: Settings, opener: Opener, display_options: DisplayOptions | None, procedures: Path) -> Exit:
    inbox: Inbox = queue.SimpleQueue()
    console = Console(stderr=True)
    with ExitStack() as stack:
        with console.status("Opening the journal and the devices"):
            journal = SqliteJournal(journal_path())
            stack.callback(journal.close)
            card = SoundCard(
                on_lost=lambda end: inbox.put(_lost(end)),
                on_back=lambda end: inbox.put(_back(end)),
                on_overflow=lambda pieces: inbox.put(_overflowed(pieces)),
            )
            stack.callback(card.close)
            microphone = card.microphone(settings.microphone)
            stack.callback(microphone.close)
            loudspeaker = card.loudspeaker(settings.loudspeaker)
        with console.status("Loading the recogniser and the voice"):
            recogniser = choose_recogniser(settings)
            synthesiser = choose_synthesiser(settings)
        speaker = CardSpeaker(
            synthesiser,
            loudspeaker,
            rate=settings.rate,
            volume=settings.volume,
            on_fault=lambda sentence: inbox.put(_told(sentence)),
        )
        stack.callback(speaker.close)
        display = _display(display_options, procedures, inbox, speaker, stack)
        now = _now()
        opened = opener(journal, settings, recogniser.limits, now)
        stack.callback(opened.job.close)
        dialogue = Dialogue(sys.stdout, now)
        keeping = _keeping(recogniser, opened, inbox)
        listener = Listener(
            keeping,
            lambda heard: inbox.put(lambda conductor, at: conductor.hear(heard, at)),
            is_sounding=speaker.is_sounding,
            headset=settings.headset,
            tail_s=settings.tail_ms / 1000,
        )
        conductor = Conductor(
            opened.session,
            opened.job,
            speaker,
            dialogue,
            on_grammar=listener.set_grammar,
            rebuild=opened.rebuild,
            screen=display.board if display else None,
        )
        keyboard = Keyboard(
            lambda phrase, source: inbox.put(_key(phrase, source, speaker.hush)), pedal_key=settings.pedal_key
        )
        keyboard.start()
        stack.callback(keyboard.close)
        dialogue.told(f"Job {opened.job.id}. Say {'next'!r}, or press enter. Control-C keeps the job.", now)
        if display:
            display.listen_to(listener, speaker.is_sounding, headset=settings.headset)
            dialogue.told(display.invitation(), now)
        if fault := unheard(recogniser, opened.session):
            dialogue.told(fault, now)
        conductor.carry_out(opened.first, now)
        listening = ListeningThread(microphone, listener, on_fault=lambda fault: inbox.put(_told(fault.sentence)))
        stack.callback(listening.close)
        return _loop(conductor, inbox, opened, speaker, dialogue)


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
        press=lambda phrase: inbox.put(_key(phrase, Source.TOUCH, speaker.hush)),
    )
    stack.callback(display.close)
    return display


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


def _loop(conductor: Conductor, inbox: Inbox, opened: OpenJob, speaker: CardSpeaker, dialogue: Dialogue) -> Exit:
    with _Stop(lambda: inbox.put(_nothing)) as stop:
        while not conductor.closed and not stop.by:
            due = conductor.next_tick()
            wait = _IDLE_S if due is None else min(_IDLE_S, max(0.0, due - time.time()))
            with contextlib.suppress(queue.Empty):
                inbox.get(timeout=wait)(conductor, _now())
            conductor.tick(_now())
        if conductor.closed:
            _let_it_finish(speaker, stop)
            dialogue.told(f"Job {opened.job.id} is closed.", _now())
            return Exit.OK
        speaker.hush()
        conductor.record(Record("interrupted", {"by": stop.by}), _now())
        dialogue.told(f"Job {opened.job.id} is kept; go on with: assistant resume {opened.job.id}", _now())
        return Exit.INTERRUPTED


def _nothing(_conductor: Conductor, _now: float) -> None:
    """Wake the loop."""


def _let_it_finish(speaker: CardSpeaker, stop: _Stop) -> None:
    """Wait for the last sentence, which nothing comes after."""
    until = time.monotonic() + 15
    while speaker.is_sounding() and not stop.by and time.monotonic() < until:
        time.sleep(0.05)


def _key(phrase: str, source: Source, hush: Callable[[], None]) -> Callable[[Conductor, float], None]:
    def hear(conductor: Conductor, now: float) -> None:
        hush()
        conductor.hear(Heard(phrase, 1.0, now, now, Clarity.PHRASE, source), now)

    return hear


def _lost(end: End) -> Callable[[Conductor, float], None]:
    def tell(conductor: Conductor, now: float) -> None:
        conductor.record(Record("device_lost", {"device": end.value}), now)
        conductor.announce(f"The {end.value} is gone. The job is kept. I keep looking for it.", now)

    return tell


def _back(end: End) -> Callable[[Conductor, float], None]:
    def tell(conductor: Conductor, now: float) -> None:
        conductor.record(Record("device_back", {"device": end.value}), now)
        conductor.announce(f"The {end.value} is back. Go on.", now, trouble=False)

    return tell


def _overflowed(pieces: int) -> Callable[[Conductor, float], None]:
    """Tell that the computer was too slow for a while: what was said then may be lost."""

    def tell(conductor: Conductor, now: float) -> None:
        conductor.record(Record("sound_lost", {"pieces_of_20_ms": pieces}), now)
        conductor.tell("Some sound was lost, because this computer is busy; say it again.", now)

    return tell


def _told(sentence: str) -> Callable[[Conductor, float], None]:
    return lambda conductor, now: conductor.tell(sentence, now)


def _keeping(recogniser: Recogniser, opened: OpenJob, inbox: Inbox) -> Recogniser:
    """Return the recogniser, with a recorder around it when the job was opened with permission to keep sound."""
    first: Entry = opened.job.entries()[0]
    if not first.data.get("keep_audio"):
        return recogniser
    folder = home() / "audio" / opened.job.id
    try:
        private_folder(folder.parent, ours=True)
        private_folder(folder, ours=True)
    except OSError as fault:
        raise VoiceFault(f"Sound cannot be kept in {folder} ({fault.strerror}); start without --keep-audio.") from fault

    def kept(name: str) -> None:
        inbox.put(lambda conductor, now: conductor.record(Record("audio_kept", {"file": name}), now))

    return KeepingRecogniser(recogniser, folder, kept)


def _now() -> float:
    """Return the time, to the millisecond, as the journal keeps it."""
    return round(time.time() * 1000) / 1000
