"""Listens: from blocks of sound to what was heard. Works block by block, or on a thread of its own.

Half duplex: while the assistant is sounding, and for a short tail after it, nothing is listened to, so that its own
voice is never taken for a command. With a headset the microphone does not hear the loudspeaker: the gate stays open.

Only a voice begins an utterance: bangs and machines are never put to the recogniser. An utterance that is not alone
between silences is talk, whatever words it holds.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable
from dataclasses import replace

from assistant.events import Clarity, Grammar, Heard
from assistant.voice.endpoint import QUIETEST_DB, Edge, Endpointer
from assistant.voice.ports import Block, Microphone, OnHeard, Recogniser, VoiceDetector, VoiceFault
from assistant.voice.vad_door import SileroDetector

TAIL_S = 0.25
"""How long the gate stays shut after the assistant's last sound [s]: the room's echo and the sound card's buffer."""
FAR_DB = 14.0
"""Speech this much quieter than the mechanic's usual phrases [dB] comes from farther away and was not meant for us."""
_PEAKS_KEPT = 8
_READ_S = 0.2


class Listener:
    """Feeds one recogniser. Push blocks from one thread; ``set_grammar`` and the properties are for any thread."""

    def __init__(
        self,
        recogniser: Recogniser,
        on_heard: OnHeard,
        *,
        is_sounding: Callable[[], bool] = lambda: False,
        headset: bool = False,
        tail_s: float = TAIL_S,
        endpointer: Endpointer | None = None,
        detector: VoiceDetector | None = None,
    ) -> None:
        """Join the parts; ``is_sounding`` tells whether the assistant can be heard now; ``tail_s`` is in seconds.

        Without a ``detector`` it is the Silero model.

        Raises:
            VoiceFault: that model cannot be loaded.
        """
        self._recogniser = recogniser
        self._on_heard = on_heard
        self._is_sounding = is_sounding
        self._headset = headset
        self._tail_s = tail_s
        self._ends = endpointer or Endpointer()
        self._detector = detector or SileroDetector()
        self._wanted: Grammar | None = None
        self._open_again_at = float("-inf")
        self._peaks: deque[float] = deque(maxlen=_PEAKS_KEPT)
        self._level = QUIETEST_DB

    @property
    def level(self) -> float:
        """The level of the last block [dBFS], for a meter."""
        return self._level

    @property
    def is_hearing(self) -> bool:
        """Whether an utterance is open."""
        return self._ends.is_open

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""
        self._wanted = grammar

    def push(self, block: Block) -> None:
        """Take the next block; calls ``on_heard`` when an utterance ends with it."""
        if self._is_gated(block.ended_at):
            self._drop()
            return
        edge = self._ends.push(block, self._detector.feed(block.samples), self._recogniser.settled)
        self._level = self._ends.level
        match edge:
            case Edge.BEGIN:
                self._take_grammar()
                self._recogniser.start()
                for taken in self._ends.taken:
                    self._recogniser.feed(taken.samples)
            case Edge.MORE:
                self._recogniser.feed(block.samples)
            case Edge.END:
                self._recogniser.feed(block.samples)
                self._on_heard(self._finish())
            case Edge.NONE:
                # Between utterances there is time to make a new grammar ready.
                self._take_grammar()

    def flush(self) -> None:
        """End an open utterance where the sound ended."""
        if self._ends.is_open:
            heard = self._finish()
            self._ends.reset()
            self._on_heard(heard)

    def _is_gated(self, now: float) -> bool:
        if self._headset:
            return False
        if self._is_sounding():
            self._open_again_at = now + self._tail_s
            return True
        return now < self._open_again_at

    def _drop(self) -> None:
        """Forget what was begun: the assistant's own voice would be part of it."""
        if self._ends.is_open:
            self._recogniser.finish(self._ends.started_at, self._ends.ended_at)
        self._ends.reset()
        self._detector.start()

    def _take_grammar(self) -> None:
        wanted, self._wanted = self._wanted, None
        if wanted is not None:
            self._recogniser.set_grammar(wanted)

    def _finish(self) -> Heard:
        heard = self._recogniser.finish(self._ends.started_at, self._ends.ended_at)
        if not self._ends.is_alone and heard.clarity is not Clarity.DICTATION:
            return replace(heard, text="", clarity=Clarity.SPEECH, words=())
        if heard.clarity is Clarity.PHRASE:
            self._peaks.append(self._ends.peak)
        elif heard.clarity is Clarity.UNCLEAR and self._is_far():
            heard = replace(heard, clarity=Clarity.SPEECH)
        return heard

    def _is_far(self) -> bool:
        if not self._peaks:
            return False
        usual = sorted(self._peaks)[len(self._peaks) // 2]
        return self._ends.peak < usual - FAR_DB


class ListeningThread:
    """Runs a listener on a microphone until the microphone ends or is closed."""

    def __init__(
        self, microphone: Microphone, listener: Listener, *, on_fault: Callable[[VoiceFault], None] | None = None
    ) -> None:
        """Begin at once. ``on_fault`` is called on the thread when the microphone or the recogniser breaks."""
        self._microphone = microphone
        self._listener = listener
        self._on_fault = on_fault
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="listener", daemon=True)
        self._thread.start()

    def _run(self) -> None:
        try:
            while not self._stop.is_set() and not self._microphone.ended:
                block = self._microphone.read(_READ_S)
                if block is not None:
                    self._listener.push(block)
            if not self._stop.is_set():
                self._listener.flush()
        except VoiceFault as fault:
            if self._on_fault is None:
                raise
            self._on_fault(fault)

    @property
    def is_alive(self) -> bool:
        """Whether it is still listening."""
        return self._thread.is_alive()

    def close(self) -> None:
        """Stop listening; the microphone stays open and is the caller's to close."""
        self._stop.set()
        if self._thread is not threading.current_thread():
            self._thread.join()
