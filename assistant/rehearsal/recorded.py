"""A recording in place of a microphone, and the ears that listen to it.

The recording is a polite talker: it waits while the assistant speaks. So a talk does not depend on the answers' length.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import ExitStack

from rich.console import Console

from assistant.bay.engines import choose_recogniser, choose_synthesiser, note_writer, second_opinion
from assistant.bay.inbox import Errand, Inbox
from assistant.display.board import Ear
from assistant.events import Grammar, Thresholds
from assistant.rehearsal.clock import TalkClock
from assistant.rehearsal.options import RehearseOptions
from assistant.settings import Settings
from assistant.terminal.exits import Exit, Refusal
from assistant.voice.adapters.wav import WavLoudspeaker, WavMicrophone
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.notes import NotesHeard
from assistant.voice.ports import Recogniser, VoiceFault
from assistant.voice.speaking.file_speaker import FileSpeaker

_LEAST_S = 0.001


class RecordedTalk:
    """Listens to a recording with a real recogniser, block by block, and waits where the assistant speaks."""

    is_live = False
    name = "recording"

    def __init__(
        self,
        microphone: WavMicrophone,
        recogniser: Recogniser,
        speaker: FileSpeaker,
        clock: TalkClock,
        inbox: Inbox | None = None,
    ) -> None:
        """Join the parts; ``clock`` is moved on as the recording goes on, ``inbox`` takes what they have to tell.

        Raises:
            VoiceFault: the voice detector cannot be loaded.
        """
        self.over = False
        self._microphone, self._recogniser, self._speaker, self._clock = microphone, recogniser, speaker, clock
        self._inbox = inbox or Inbox()
        self._notes = NotesHeard(note_writer(self._inbox.failed, self._inbox.told), self._inbox.heard)
        # The recording waits for the end of each answer, so there is nothing for the gate to keep out.
        self._second = second_opinion(self._inbox.failed, self._inbox.told, waits=True)
        self._listener = Listener(self._notes.around(recogniser), self._notes.heard, headset=True, second=self._second)
        self._drained = False

    def put(self, note: Errand) -> None:
        """Let the loop do ``note``."""
        self._inbox.put(note)

    @property
    def limits(self) -> Thresholds:
        """The least confidences of the recogniser, per weight."""
        return self._recogniser.limits

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that the recogniser cannot hear, each with a near one that it can (or "")."""
        return self._recogniser.unknown_words(words)

    def begin(self, loop_silent_s: Callable[[], float], on_loop: Callable[[], None]) -> None:
        """Begin; there is nothing that could hang."""

    def listen_for(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""
        self._listener.set_grammar(grammar)

    def take(self, most_s: float) -> Errand | None:
        """Let the assistant finish, or the next 20 ms be heard; return what was heard with them."""
        if (left := self._speaker.seconds_left()) > 0:
            self._microphone.hold(min(left, max(_LEAST_S, most_s)))
            self._clock.go_to(self._microphone.now)
            return None
        if self._drained:
            self.over = True
            return None
        block = self._microphone.read()
        self._clock.go_to(self._microphone.now)
        if block is None:
            self._listener.flush()
            self._drained = True
        else:
            self._listener.push(block)
        return self._inbox.take(0.0)

    def unsaid(self) -> str:
        """Return nothing: what a recording holds after the end of a job is mostly silence."""
        return ""

    def look(self) -> Ear:
        """Return what the recording is doing."""
        return Ear("listening", self._listener.level)

    def close(self) -> None:
        """Close the file, the writer of notes, and the second opinion."""
        self._notes.close()
        if self._second is not None:
            self._second.close()
        self._microphone.close()


def open_recording(
    options: RehearseOptions, settings: Settings, clock: TalkClock, stack: ExitStack
) -> tuple[RecordedTalk, FileSpeaker]:
    """Open the recording, the recogniser and the voice; ``stack`` closes them.

    Raises:
        Refusal: there is no such recording.
        VoiceFault: an engine is missing, or the spoken side cannot be written.
    """
    assert options.audio_in is not None, "the command line asks for one of the two talks"
    try:
        microphone = WavMicrophone(options.audio_in, started_at=clock.at)
    except VoiceFault as fault:
        raise Refusal(fault.sentence, Exit.PROCEDURE) from fault
    stack.callback(microphone.close)
    with Console(stderr=True).status("Loading the recogniser and the voice"):
        inbox = Inbox()
        recogniser = choose_recogniser(settings, inbox.told)
        synthesiser = choose_synthesiser(settings)
    stack.callback(synthesiser.close)
    out = WavLoudspeaker(options.audio_out, started_at=clock.at) if options.audio_out is not None else None
    speaker = FileSpeaker(synthesiser, lambda: clock.at, out, rate=settings.rate, volume=settings.volume)
    return RecordedTalk(microphone, recogniser, speaker, clock, inbox), speaker
