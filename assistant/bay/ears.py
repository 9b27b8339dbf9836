"""The ears of a bay in a room: a microphone with its recogniser, keys and a pedal, and the watch over them."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import ExitStack
from typing import Protocol

from assistant.bay.inbox import Errand, Inbox
from assistant.bay.keys import Keyboard
from assistant.bay.watchdog import Watchdog, WatchedSpeaker
from assistant.display.board import Ear
from assistant.events import Grammar, Thresholds
from assistant.terminal.keys import Typing
from assistant.voice.listening.asked_second import SecondOpinion
from assistant.voice.listening.endpointing import QUIETEST_DB
from assistant.voice.listening.listener import TAIL_S, Listener, ListeningThread
from assistant.voice.listening.notes import NotesInTime, NoteWriter
from assistant.voice.listening.over_echo import EchoWay, OverEcho
from assistant.voice.ports import Microphone, Recogniser, Speaker, VoiceDetector

_IDLE_S = 1.0


class LiveSpeaker(Speaker, WatchedSpeaker, Protocol):
    """A speaker in real time, which can be watched."""


class RoomEars:
    """Listens on threads of its own; whatever comes goes into the inbox."""

    is_live = True
    over = False
    name = "room"

    def __init__(
        self,
        microphone: Microphone,
        recogniser: Recogniser,
        speaker: LiveSpeaker,
        inbox: Inbox,
        *,
        again: Callable[[], Recogniser] | None = None,
        headset: bool | Callable[[], bool] = False,
        tail_s: float = TAIL_S,
        over: OverEcho | None = None,
        devices: str = "",
        detector: VoiceDetector | None = None,
        pedal_key: str | None = None,
        notes: NoteWriter | None = None,
        second: SecondOpinion | None = None,
    ) -> None:
        """Listen on ``microphone`` with ``recogniser``, which ``again`` makes anew, while ``speaker`` is silent.

        ``notes`` makes better words of what is dictated; ``second`` is asked about what the recogniser is unsure of.

        With a ``headset``, which may come and go, it is listened to all the time; ``tail_s`` is how long the microphone
        stays closed after the speaker [s]. With ``over`` it is listened to through the own voice, as long as that goes
        well. ``devices`` tells this microphone and loudspeaker from others. Without a ``detector`` it is the Silero
        model. With ``pedal_key``, the name of the key that the pedal sends, the keyboard is read as well.
        """
        self.microphone, self.recogniser = microphone, recogniser
        self._speaker, self._inbox = speaker, inbox
        self._again = again or (lambda: recogniser)
        self._kept: Callable[[Recogniser], Recogniser] = lambda one: one
        self._headset = headset if callable(headset) else lambda: headset
        self._tail_s, self._detector, self._over = tail_s, detector, over
        self.devices = devices
        self._pedal_key = pedal_key
        self.second = second
        self._notes = None if notes is None else NotesInTime(notes, inbox.heard, inbox.failed)
        self._wanted: Grammar | None = None
        self._listener: Listener | None = None
        self._stack = ExitStack()

    @property
    def limits(self) -> Thresholds:
        """The least confidences of the recogniser, per weight."""
        return self.recogniser.limits

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that the recogniser cannot hear, each with a near one that it can (or "")."""
        return self.recogniser.unknown_words(words)

    def keep(self, kept: Callable[[Recogniser], Recogniser]) -> None:
        """From :meth:`begin` on listen with what ``kept`` makes of each recogniser: one that keeps the sound."""
        self._kept = kept

    def begin(self, loop_silent_s: Callable[[], float], on_loop: Callable[[], None]) -> None:
        """Begin to listen, to read the keys, and to look after what hangs.

        Raises:
            VoiceFault: the voice detector cannot be loaded.
        """
        inbox = self._inbox
        self._listener = Listener(
            self._wrapped(self.recogniser),
            inbox.heard if self._notes is None else self._notes.heard,
            is_sounding=self._speaker.is_sounding,
            headset=self._headset,
            tail_s=self._tail_s,
            over=self._over,
            second=self.second,
            hush=self._speaker.hush,
            detector=self._detector,
            again=lambda: self._wrapped(self._again()),
            on_failure=inbox.failed,
        )
        if self._notes is not None:
            self._stack.callback(self._notes.close)
        if self.second is not None:
            self.second.prepare()
        if self._wanted:
            self._listener.set_grammar(self._wanted)
        if self._pedal_key is not None:
            typing = Typing(inbox.pressed, inbox.scanned, inbox.unended)
            keyboard = Keyboard(typing, pedal_key=self._pedal_key, on_failure=inbox.failed)
            keyboard.start()
            self._stack.callback(keyboard.close)
        listening = ListeningThread(self.microphone, self._listener, on_failure=inbox.failed)
        self._stack.callback(listening.close)
        inbox.listening_stands = lambda: listening.silent_s > _IDLE_S
        watchdog = Watchdog(
            listening,
            self._speaker,
            loop_silent_s,
            on_long=inbox.spoke_long,
            on_loop=on_loop,
            on_failure=inbox.failed,
        )
        watchdog.start()
        self._stack.callback(watchdog.close)

    def _wrapped(self, recogniser: Recogniser) -> Recogniser:
        kept = self._kept(recogniser)
        return kept if self._notes is None else self._notes.around(kept)

    def listen_for(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""
        self._wanted = grammar
        if self._listener:
            self._listener.set_grammar(grammar)

    def take(self, most_s: float) -> Errand | None:
        """Return what happened next; None when nothing did within ``most_s`` seconds, or one."""
        return self._inbox.take(min(most_s, _IDLE_S))

    def unsaid(self) -> str:
        """Return nothing: whoever closes a job in a room has said all."""
        return ""

    def look(self) -> Ear:
        """Return what the microphone does now."""
        if self._listener is None:
            return Ear("closed", QUIETEST_DB)
        if not getattr(self.microphone, "present", True):
            return Ear("no microphone: use the keys", QUIETEST_DB)
        if self._listener.is_deaf:
            return Ear("off: use the keys", QUIETEST_DB)
        if self._listener.is_hearing:
            return Ear("hearing you", self._listener.level)
        listens_over = self._headset() or (self._over is not None and self._over.way is EchoWay.KNOWN)
        if not listens_over and self._speaker.is_sounding():
            return Ear("closed", self._listener.level)
        return Ear("listening", self._listener.level)

    def close(self) -> None:
        """Stop listening; the microphone stays open, and is the caller's to close."""
        self._stack.close()
