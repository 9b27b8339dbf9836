"""Takes dictated words to a better writer than the recogniser of phrases, off the thread that listens.

Nothing is loaded before the first note. What is heard is told in the order in which it was said, so *end note* waits
for the words before it. Where the writer is missing, breaks or takes too long, the usual recogniser's words count.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from assistant.events import Clarity, Grammar, Heard, Then
from assistant.language.port import Language
from assistant.voice.listening.wrapped import WrappedRecogniser
from assistant.voice.listening.written import bare_words, believed, with_ending
from assistant.voice.ports import OnHeard, Recogniser, Samples, VoiceFault, Writer
from assistant.worker import Failures, OnFailure, Worker

NOTES_PART = "notes"
LEAST_S = 0.6
"""Sound in which the usual recogniser heard no word is written down from this length on [s]; shorter is a bang."""
_LOOK_S = 0.5


@dataclass(frozen=True, slots=True)
class DictatedSound:
    """What was heard while words are dictated, with its sound, shape (n,), and what might be said."""

    heard: Heard
    sound: Samples
    grammar: Grammar


class NoteWriter:
    """Makes better words of what was dictated. One instance serves one thread."""

    def __init__(
        self,
        make: Callable[[], Writer] | None,
        language: Language,
        *,
        on_failure: OnFailure,
        without: Callable[[], None] = lambda: None,
    ) -> None:
        """Let ``make`` start the writer at the first note; its words are those of ``language``.

        Where there is none to make, ``without`` is called at the first note.
        """
        self._make, self._without = make, without
        self._ending = language.phrases.phrases("end_note")[0]
        self._written = language.notes.written_endings()
        self._failures = Failures(NOTES_PART, on_failure)
        self._writer: Writer | None = None
        self._gave_up = False

    def prepare(self) -> None:
        """Begin to load the writer, where it is not loaded yet."""
        if self._writer is not None or self._gave_up:
            return
        if self._make is None:
            self._gave_up = True
            self._without()
            return
        try:
            self._writer = self._make()
        except VoiceFault as fault:
            self._broke(fault)

    def better(self, said: DictatedSound) -> Heard:
        """Return what was ``said`` in the words of the writer, or as it was heard where there are none."""
        self.prepare()
        if self._writer is None:
            return said.heard
        try:
            text = self._writer.write(said.sound)
        except Exception as fault:  # noqa: BLE001 - an engine may raise anything, and must not lose a note
            self._broke(fault)
            return said.heard
        return self._in_words(said, text)

    def close(self) -> None:
        """Free the writer."""
        writer, self._writer = self._writer, None
        if writer is not None:
            writer.close()

    def _in_words(self, said: DictatedSound, text: str) -> Heard:
        heard = said.heard
        usual = heard.text if heard.clarity is Clarity.DICTATION else ""
        words = with_ending(believed(text, usual), usual, self._ending, self._written)
        if not words or words == usual:
            return heard
        alone = " ".join(bare_words(words))
        if alone == self._ending:  # written by an engine that did not listen for it: that is sure
            return replace(heard, text=alone, confidence=1.0, clarity=Clarity.DICTATION, words=())
        if alone in said.grammar.phrases:  # no part of a note, and not sure by itself: it is asked for again
            sure = heard.confidence if alone == usual else 0.0
            return replace(heard, text=alone, confidence=sure, clarity=Clarity.DICTATION, words=())
        return replace(heard, text=words, clarity=Clarity.DICTATION, words=())

    def _broke(self, fault: Exception) -> None:
        self.close()
        self._gave_up = self._failures.note(fault) is Then.ENDED


class NotesHeard:
    """Stands between a listener and whoever wants to know what it heard."""

    def __init__(self, writer: NoteWriter, on_heard: OnHeard) -> None:
        """Tell ``on_heard`` all that is heard, what was dictated in the words of ``writer``."""
        self._writer = writer
        self._tell = on_heard
        self._last: DictatedSound | None = None

    def around(self, recogniser: Recogniser) -> Recogniser:
        """Return ``recogniser``, which gives the sound of what was dictated here as well."""
        return _NotingRecogniser(recogniser, self._begun, self._dictated)

    def heard(self, heard: Heard) -> None:
        """Take what a listener heard; on its thread."""
        said, self._last = self._last, None
        if said is not None and said.heard == heard:
            self._better(said)
        else:
            self._hand_on(heard)

    def close(self) -> None:
        """Free the writer."""
        self._writer.close()

    def _begun(self) -> None:
        """Take up that words are dictated from now on."""

    def _dictated(self, said: DictatedSound) -> None:
        self._last = said

    def _better(self, said: DictatedSound) -> None:
        self._tell(self._writer.better(said))

    def _hand_on(self, heard: Heard) -> None:
        self._tell(heard)


class NotesInTime(NotesHeard):
    """The same in real time: the writer works on a thread of its own, and nobody waits for it."""

    def __init__(self, writer: NoteWriter, on_heard: OnHeard, on_failure: OnFailure) -> None:
        """Tell ``on_heard``, on the listener's thread or on this one's; ``on_failure`` when the thread breaks."""
        super().__init__(writer, on_heard)
        self._waiting: queue.SimpleQueue[DictatedSound | Heard | None] = queue.SimpleQueue()
        self._open = 0
        self._lock = threading.Lock()
        self._on_failure = on_failure
        self._worker = self._new_worker()
        self._began = False

    def close(self) -> None:
        """End the thread and the writer; the next note, of another job, begins both anew."""
        if self._began:
            self._worker.close()
            self._began, self._worker = False, self._new_worker()
        super().close()

    def _new_worker(self) -> Worker:
        return Worker(NOTES_PART, self._run, on_failure=self._on_failure, on_end=self._drain)

    def _begun(self) -> None:
        if not self._began:
            self._began = True
            self._worker.start()
        self._waiting.put(None)

    def _better(self, said: DictatedSound) -> None:
        self._put(said)

    def _hand_on(self, heard: Heard) -> None:
        with self._lock:
            nothing_waits = not self._open
        if nothing_waits:
            self._tell(heard)
        else:
            self._put(heard)

    def _put(self, one: DictatedSound | Heard) -> None:
        with self._lock:
            self._open += 1
        self._waiting.put(one)
        if self._worker.gave_up:
            self._drain()

    def _run(self, go_on: Callable[[], bool]) -> None:
        while go_on():
            try:
                one = self._waiting.get(timeout=_LOOK_S)
            except queue.Empty:
                continue
            if one is None:
                self._writer.prepare()
            else:
                self._done(self._writer.better(one) if isinstance(one, DictatedSound) else one)

    def _done(self, heard: Heard) -> None:
        self._tell(heard)
        with self._lock:
            self._open -= 1

    def _drain(self) -> None:
        """Tell what waits as it was heard: nobody writes any more."""
        while True:
            try:
                one = self._waiting.get_nowait()
            except queue.Empty:
                return
            if one is not None:
                self._done(one.heard if isinstance(one, DictatedSound) else one)


class _NotingRecogniser(WrappedRecogniser):
    def __init__(self, inner: Recogniser, begun: Callable[[], None], dictated: Callable[[DictatedSound], None]) -> None:
        super().__init__(inner)
        self._begun, self._dictated = begun, dictated
        self._grammar = Grammar(())

    def set_grammar(self, grammar: Grammar) -> None:
        self._grammar = grammar
        if grammar.dictation:
            self._begun()
        super().set_grammar(grammar)

    def feed(self, block: Samples) -> None:
        if self._grammar.dictation:
            super().feed(block)
        else:
            self._inner.feed(block)  # who takes no notes keeps no sound

    def finish(self, started_at: float, ended_at: float) -> Heard:
        heard = super().finish(started_at, ended_at)
        words = heard.clarity is Clarity.DICTATION
        if self._grammar.dictation and (
            words or (heard.clarity is Clarity.SPEECH and ended_at - started_at >= LEAST_S)
        ):
            self._dictated(DictatedSound(heard, np.array(self._sound()), self._grammar))
        return heard
