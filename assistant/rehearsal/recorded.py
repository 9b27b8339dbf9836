"""A job on a recording: the same session, journal, recogniser and voice, on a clock as fast as the machine can run.

The recording is a polite talker: it waits while the assistant speaks. So a talk does not depend on the answers' length.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.console import Console

from assistant.bay.dialogue import Dialogue
from assistant.bay.job import (
    check_tools,
    choose_recogniser,
    choose_synthesiser,
    guarded,
    read_or_refuse,
    settings_for,
    unheard,
)
from assistant.bay.job_card import JobCard
from assistant.bay.job_opening import closed_words
from assistant.bay.runner import JobRunner, Screen
from assistant.events import Heard
from assistant.journal.opening import open_journal
from assistant.rehearsal.job import end_of, rehearsal_job, shown, to_the_millisecond
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_sound
from assistant.voice.adapters.wav import WavLoudspeaker, WavMicrophone
from assistant.voice.listening.listener import Listener
from assistant.voice.ports import VoiceFault
from assistant.voice.speaking.file_speaker import FileSpeaker

if TYPE_CHECKING:
    from assistant.bay.display import DisplayOptions


def run_rehearsal(
    procedure: Path,
    audio_in: Path,
    audio_out: Path | None,
    *,
    card: JobCard,
    options: Mapping[str, Any],
    job: str = "",
    display_options: DisplayOptions | None = None,
    real_time: bool = False,
) -> Exit:
    """Run the job of the file ``procedure`` on the recording ``audio_in``.

    The spoken side is written to ``audio_out`` if that is given. With ``job``, an open rehearsal of the same procedure
    goes on instead of a new one. With ``display_options`` there is a display; ``real_time`` takes as long as the talk
    and the answers last.
    """

    def work(screen: Screen | None) -> Exit:
        return rehearse_recording(
            procedure, audio_in, audio_out, card=card, options=options, job=job, real_time=real_time, screen=screen
        )

    return guarded(lambda: shown(display_options, procedure.parent, sys.stdout, work))


def rehearse_recording(
    procedure: Path,
    audio_in: Path,
    audio_out: Path | None,
    *,
    card: JobCard,
    options: Mapping[str, Any],
    job: str = "",
    real_time: bool = False,
    screen: Screen | None = None,
) -> Exit:
    """Do it; ``screen`` is shown every view.

    Raises:
        Refusal, JournalFault, VoiceFault, SettingsFault: it cannot be done.
    """
    settings = settings_for(options)
    if audio_out is not None:
        check_sound(audio_out)
    reading = read_or_refuse(procedure)
    check_tools(settings.tools)
    about_job = {} if job else card.facts()
    started_at = to_the_millisecond(max(time.time(), end_of(job, reading) if job else 0.0))
    try:
        microphone = WavMicrophone(audio_in, started_at=started_at)
    except VoiceFault as fault:
        raise Refusal(fault.sentence, Exit.PROCEDURE) from fault
    with Console(stderr=True).status("Loading the recogniser and the voice"):
        recogniser = choose_recogniser(settings)
        synthesiser = choose_synthesiser(settings)
    out = WavLoudspeaker(audio_out, started_at=started_at) if audio_out is not None else None
    speaker = FileSpeaker(synthesiser, lambda: microphone.now, out, rate=settings.rate, volume=settings.volume)
    dialogue = Dialogue(sys.stdout, started_at)
    with open_journal(home(), bay=settings.bay) as journal:
        opened = rehearsal_job(
            journal, job, reading, procedure, settings=settings, limits=recogniser.limits, now=started_at,
            options=options, about_job=about_job,
        )  # fmt: skip
        if missing := unheard(recogniser, opened.session):
            dialogue.told(missing, started_at)
        heard: list[Heard] = []
        # The recording waits for the end of each answer, so there is nothing for the gate to keep out.
        listener = Listener(recogniser, heard.append, headset=True)
        runner = JobRunner(
            opened.session,
            opened.job,
            speaker,
            dialogue,
            on_grammar=listener.set_grammar,
            rebuild=opened.rebuild,
            screen=screen,
        )
        pace = _Pace(microphone) if real_time else None
        try:
            runner.carry_out(opened.first, started_at)
            _listen_to_the_end(runner, microphone, speaker, listener, heard, pace)
            speaker.close()
        finally:
            synthesiser.close()
            microphone.close()
    if runner.closed:
        dialogue.told(closed_words(opened.job.id), microphone.now)
        return Exit.OK
    sentence = f"The recording is over and job {opened.job.id} is open; go on with: assistant resume {opened.job.id}"
    dialogue.told(sentence, microphone.now)
    return Exit.OPEN


class _Pace:
    """Keeps the job's clock no faster than the one on the wall."""

    def __init__(self, microphone: WavMicrophone) -> None:
        self._microphone = microphone
        self._ahead_s = microphone.now - time.monotonic()

    def keep(self) -> None:
        """Wait until the wall has caught up."""
        time.sleep(max(0.0, self._microphone.now - time.monotonic() - self._ahead_s))


def _listen_to_the_end(
    runner: JobRunner,
    microphone: WavMicrophone,
    speaker: FileSpeaker,
    listener: Listener,
    heard: list[Heard],
    pace: _Pace | None,
) -> None:
    while not runner.closed:
        _let_it_finish(runner, microphone, speaker)
        if pace:
            pace.keep()
        block = microphone.read()
        if block is None:
            listener.flush()
        else:
            listener.push(block)
        for utterance in heard:
            runner.hear(utterance, to_the_millisecond(microphone.now))
        heard.clear()
        runner.tick(to_the_millisecond(microphone.now))
        if block is None:
            break
    _let_it_finish(runner, microphone, speaker)


def _let_it_finish(runner: JobRunner, microphone: WavMicrophone, speaker: FileSpeaker) -> None:
    """Let time pass until the assistant has said all, stopping where a timer is due on the way."""
    while (left := speaker.seconds_left()) > 0:
        due = runner.session.next_tick()
        if due is not None and due < microphone.now + left:
            microphone.hold(max(0.001, due - microphone.now))
            runner.tick(to_the_millisecond(microphone.now + 0.0005))
        else:
            microphone.hold(left)
