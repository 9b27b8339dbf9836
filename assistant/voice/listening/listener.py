"""Listens: from blocks of sound to what was heard. Works block by block, or on a thread of its own.

Half duplex: while the assistant is sounding, and for a short tail after it, nothing is listened to, so that its own
voice is never taken for a command. With a headset the microphone does not hear the loudspeaker: the gate stays open.
With an echo canceller a person who speaks over the assistant silences it; what is heard then is marked as such.

Only a voice begins an utterance: bangs and machines are never put to the recogniser. An utterance that is not alone
between silences is talk, whatever words it holds. Where somebody spoke as the gate opened, a phrase with which another
one ends is not believed: of "what comes next" it would be *next*.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from assistant.events import Clarity, Grammar, Heard, Then
from assistant.voice.listening.asked_second import SecondOpinion
from assistant.voice.listening.endpoint import BLOCK_S, Edge, Endpointer
from assistant.voice.listening.endpointing import QUIETEST_DB
from assistant.voice.listening.heard_again import heard_again
from assistant.voice.listening.over_echo import OverEcho
from assistant.voice.listening.over_noise import is_drowned
from assistant.voice.listening.running_talk import RunningTalk, as_alone
from assistant.voice.listening.second_opinion import ASKED_MOST_S
from assistant.voice.listening.voice_in_noise import VoiceInNoise
from assistant.voice.ports import SILENCE, Block, Microphone, OnHeard, Opinion, Recogniser, Samples, VoiceDetector
from assistant.worker import Failures, OnFailure, Worker

TAIL_S = 0.25
"""How long the gate stays shut after the assistant's last sound [s]: the room's echo and the sound card's buffer."""
FAR_DB = 14.0
"""Speech this much quieter than the mechanic's usual phrases [dB] comes from farther away and was not meant for us."""
_PEAKS_KEPT = 8
_BEFORE = 10
"""Blocks of before an utterance in noise that go with it to the second opinion: a beginning may be late there."""
_ASKED_AT_S, _ASKED_AT_IN_TALK_S = 0.04, 0.5
"""After so much silence or doubt [s] the second opinion begins with the sound, to have an answer when it has ended."""
_SAYS_WITHIN_S = 0.8
"""Whoever spoke over the assistant begins an utterance within this time [s], or said nothing."""
_READ_S = 0.2


class Listener:
    """Feeds one recogniser. Push blocks from one thread; ``set_grammar`` and the properties are for any thread."""

    def __init__(
        self,
        recogniser: Recogniser,
        on_heard: OnHeard,
        *,
        is_sounding: Callable[[], bool] = lambda: False,
        headset: bool | Callable[[], bool] = False,
        tail_s: float = TAIL_S,
        endpointer: Endpointer | None = None,
        detector: VoiceDetector | None = None,
        again: Callable[[], Recogniser] | None = None,
        over: OverEcho | None = None,
        second: SecondOpinion | None = None,
        hush: Callable[[], None] = lambda: None,
        on_failure: OnFailure = lambda _failure: None,
    ) -> None:
        """Join the parts; ``is_sounding`` tells whether the assistant can be heard now; ``tail_s`` is in seconds.

        Without a ``detector`` voices are told beside machines too. ``again`` makes the recogniser anew when it broke.
        With ``over`` a person is heard while the assistant sounds, which ``hush`` then silences. ``second`` is asked
        about what the recogniser is unsure of. ``on_failure`` is told when what helps to hear in noise fails.

        Raises:
            VoiceFault: that model cannot be loaded.
        """
        self._on_heard = on_heard
        self._is_sounding = is_sounding
        self._headset = headset if callable(headset) else lambda: headset
        self._tail_s = tail_s
        self._again = again
        self._own_detector = detector
        self._second = second
        self._over, self._hush = over, hush
        self._taken_over_at: float | None = None
        """When a person took the word, as long as that person is not heard to the end [s since the epoch]."""
        self._wanted: Grammar | None = None
        self._last: Grammar | None = None
        self._open_again_at = float("-inf")
        self.is_deaf = False
        """Whether nobody listens any more."""
        self._attending = Failures("attending", on_failure)
        self._ear = self._ear_of(recogniser, endpointer or Endpointer(), detector or VoiceInNoise(self._attending))

    @property
    def level(self) -> float:
        """The level of the last block [dBFS], for a meter."""
        return self._ear.level

    @property
    def is_hearing(self) -> bool:
        """Whether an utterance is open."""
        return self._ear.ends.is_open

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from the next utterance on."""
        self._wanted = grammar

    def build_again(self) -> None:
        """Begin anew with another recogniser and another voice detector; whatever broke, nothing of it is kept.

        Raises:
            VoiceFault: they cannot be loaded.
        """
        recogniser = self._again() if self._again else self._ear.recogniser
        detector = self._own_detector or VoiceInNoise(self._attending)
        self._ear = self._ear_of(recogniser, Endpointer(self._ear.ends.knobs), detector)
        self._wanted = self._wanted or self._last

    def _ear_of(self, recogniser: Recogniser, ends: Endpointer, detector: VoiceDetector) -> _Ear:
        return _Ear(recogniser, ends, detector, self._attending, self._second)

    def push(self, block: Block) -> None:
        """Take the next block; calls ``on_heard`` when an utterance ends with it."""
        is_gated = self._is_gated(block.ended_at)
        if self._over is not None and not self._headset():
            block = self._over.push(block)
            if is_gated and self._taken_over_at is None and self._over.hears_over:
                self._be_interrupted(block.ended_at, list(self._over.before)[:-1])
        if is_gated and self._taken_over_at is None:
            self._ear.drop(None if self._is_sounding() else block)
            return
        self._hear(block)
        self._end_interruption(block.ended_at)

    def _hear(self, block: Block) -> None:
        ear = self._ear
        if not ear.ends.is_open:
            self._take_grammar(ear)  # between utterances there is time to make a new grammar ready
        heard = ear.push(block)
        if heard is not None and ear is self._ear:  # one that was left hanging has nothing to say any more
            self._tell(heard)

    def _tell(self, heard: Heard) -> None:
        """Hand on what was heard, and whether it was said over the assistant."""
        if self._over is not None and self._taken_over_at is not None:
            heard = replace(heard, over=True)
            if heard.clarity is not Clarity.PHRASE:
                self._over.nobody_spoke()
        self._taken_over_at, self._ear.is_over = None, False
        self._on_heard(heard)

    def _be_interrupted(self, now: float, before: list[Block]) -> None:
        """Let the assistant fall silent for a person, whose first sounds lie in the blocks ``before``."""
        self._hush()
        self._taken_over_at, self._ear.is_over = now, True
        for block in before:
            self._hear(block)

    def _end_interruption(self, now: float) -> None:
        """Tell that whoever spoke over the assistant said nothing, once that is plain."""
        at = self._taken_over_at
        if at is None or self._ear.ends.is_open or now - at < _SAYS_WITHIN_S:
            return
        self._tell(Heard("", 0.0, at, now, Clarity.UNCLEAR))

    def flush(self) -> None:
        """End an open utterance where the sound ended."""
        heard = self._ear.flush()
        if heard is not None:
            self._on_heard(heard)

    def _is_gated(self, now: float) -> bool:
        if self._headset():
            return False
        if self._is_sounding():
            self._open_again_at = now + self._tail_s
            return True
        return now < self._open_again_at

    def _take_grammar(self, ear: _Ear) -> None:
        wanted, self._wanted = self._wanted, None
        if wanted is not None:
            self._last = wanted
            ear.set_grammar(wanted)


def _endings(grammar: Grammar) -> frozenset[str]:
    """Return the words with which phrases of ``grammar`` end, without their beginning."""
    written = map(str.split, grammar.phrases)
    return frozenset(" ".join(words[number:]) for words in written for number in range(1, len(words)))


class _Ear:
    """One recogniser, one voice detector and the utterance that they are at; broken, it is thrown away as a whole."""

    def __init__(
        self,
        recogniser: Recogniser,
        ends: Endpointer,
        detector: VoiceDetector,
        attending: Failures,
        second: SecondOpinion | None,
    ) -> None:
        self.recogniser = recogniser
        self._second = second
        self._attending: Failures | None = attending
        self._grammar = Grammar(())
        self._blocks: list[Block] = []
        self.ends = ends
        self.level = QUIETEST_DB
        self._detector = detector
        self._peaks: deque[float] = deque(maxlen=_PEAKS_KEPT)
        self.endings: frozenset[str] = frozenset()
        """The words with which phrases end."""
        self._voice_until = -math.inf
        """When somebody was last heard to speak while the gate was shut behind the own voice [s since the epoch]."""
        self.is_over = False
        """Whether a person spoke over the assistant: the beginning may be lost."""
        self._talk = RunningTalk()

    def push(self, block: Block) -> Heard | None:
        """Take the next block; return what was heard when an utterance ends with it."""
        opinion = self._attend(block)
        if not self.ends.is_open:
            self.ends.in_talk = not self.is_over and self._talk.goes_on(block.ended_at)
        edge = self.ends.push(block, self._detector.feed(block.samples), self.recogniser.settled, opinion)
        self.level = self.ends.level
        if edge is Edge.BEGIN:
            self._blocks = list(self.ends.taken)
            self.recogniser.start()
            for taken in self.ends.taken:
                self.recogniser.feed(taken.samples)
        elif edge is not Edge.NONE:
            self._blocks.append(block)
            self.recogniser.feed(block.samples)
        if edge is Edge.END:
            return self._finish(opinion)
        if self._second is not None and self.ends.is_open:
            self._ask_ahead(self._second)
        return None

    def set_grammar(self, grammar: Grammar) -> None:
        """Listen for these phrases from now on; no utterance is open."""
        self._grammar = grammar
        self.recogniser.set_grammar(grammar)
        self.endings = _endings(grammar)

    def _attend(self, block: Block) -> Opinion:
        """Return what the recogniser makes of all that is heard; nothing, once it failed at that too often."""
        opinion = SILENCE
        if self._attending is not None and not self.is_over:
            try:
                opinion = self.recogniser.attend(block.samples)
            except Exception as fault:  # noqa: BLE001 - whatever it is, utterances that a voice begins are heard
                if self._attending.note(fault) is Then.ENDED:
                    self._attending = None
        return opinion

    def flush(self) -> Heard | None:
        """End an open utterance where the sound ended, and return what was heard."""
        if not self.ends.is_open:
            return None
        heard = self._finish(SILENCE)
        self.ends.reset()
        return heard

    def drop(self, block: Block | None) -> None:
        """Forget what was begun: the assistant's own voice would be part of it.

        Of a ``block`` without that voice, it is only looked whether somebody speaks; None holds that voice itself.
        """
        if self.ends.is_open:
            self.recogniser.finish(self.ends.started_at, self.ends.ended_at)
        self.ends.reset()
        self.recogniser.forget()
        if block is None:
            self._detector.start()
        elif self._detector.feed(block.samples) >= self.ends.knobs.voice:
            self._voice_until = block.ended_at

    def _finish(self, opinion: Opinion) -> Heard:
        ends = self.ends
        heard = self.recogniser.finish(ends.started_at, ends.ended_at)
        if ends.is_noisy and not self.is_over and heard.clarity is not Clarity.DICTATION:
            heard = heard_again(heard, self.recogniser, self._grammar, ends.earlier, self._blocks)
        may_be_cut = self._may_be_cut()
        if self._second is not None and ends.is_alone and not may_be_cut:
            heard = self._asked_about(heard, self._second)
        if not self.is_over:
            known = heard if not ends.by_words else replace(heard, words_s=0.0)  # its length is a guess
            heard = as_alone(known, in_talk=ends.in_talk, least=self.recogniser.limits.critical)
        if heard.clarity is Clarity.PHRASE and ends.is_noisy and not self.is_over:
            heard = replace(heard, drowned=is_drowned(self._words(), ends.earlier))
        if heard.clarity is Clarity.SPEECH and not opinion.words_s:
            ends.take_back(self._blocks)
        else:
            self.recogniser.forget()  # the words of this utterance are no opinion on the next
        if ends.is_voiced and ends.had_words:
            self._talk.note(heard)
        if may_be_cut and heard.text in self.endings and heard.clarity is Clarity.PHRASE:
            return replace(heard, text="", clarity=Clarity.UNCLEAR, words=())
        if not self.ends.is_alone and heard.clarity is not Clarity.DICTATION:
            return replace(heard, text="", clarity=Clarity.SPEECH, words=())
        if heard.clarity is Clarity.PHRASE:
            self._peaks.append(self.ends.peak)
        elif heard.clarity is Clarity.UNCLEAR and (not self.ends.is_voiced or self._is_far()):
            heard = replace(heard, clarity=Clarity.SPEECH)
        return heard

    def _words(self) -> list[Block]:
        """Return the blocks from the first to the last sound of the utterance that ended."""
        ends = self.ends
        return [block for block in self._blocks if ends.started_at <= block.ended_at <= ends.ended_at + BLOCK_S]

    def _may_be_cut(self) -> bool:
        """Return whether the beginning of the utterance may be lost."""
        return self.is_over or self.ends.started_at - self._voice_until < self.ends.knobs.apart_s

    def _ask_ahead(self, second: SecondOpinion) -> None:
        """Let the second opinion begin where the open utterance may be over, or forget that it did."""
        ends = self.ends
        is_whole = ends.is_alone and not self._grammar.dictation and not self._may_be_cut()
        at = round((_ASKED_AT_IN_TALK_S if ends.in_talk else _ASKED_AT_S) / BLOCK_S)
        if not ends.pause:
            second.forget()
        elif is_whole and ends.pause == at and len(self._blocks) * BLOCK_S <= ASKED_MOST_S:
            second.begin(self._sound())

    def _sound(self) -> Samples:
        """Return the sound of the utterance, shape (n,).

        In noise it is with what was before, and where there is one, below it, the same without the noise: (2, n).
        """
        if not self.ends.is_noisy:
            return np.concatenate([block.samples for block in self._blocks])
        sound = np.concatenate([block.samples for block in (*self.ends.earlier[-_BEFORE:], *self._blocks)])
        without = self._detector.without_noise(sound.size) if isinstance(self._detector, VoiceInNoise) else None
        return sound if without is None else np.stack([sound, without])

    def _asked_about(self, heard: Heard, second: SecondOpinion) -> Heard:
        """Return what counts of ``heard`` by the second opinion, where that may help."""
        ends = self.ends
        if heard.clarity is not Clarity.PHRASE and (ends.in_talk or self._is_far()):
            return heard
        noisy = ends.is_noisy and not ends.in_talk
        return second.on(heard, self._sound, self._grammar, self.recogniser.limits, noisy=noisy)

    def _is_far(self) -> bool:
        if not self._peaks:
            return False
        usual = sorted(self._peaks)[len(self._peaks) // 2]
        return self.ends.peak < usual - FAR_DB


class ListeningThread:
    """Runs a listener on a microphone until the microphone ends or is closed; what breaks is built again."""

    def __init__(self, microphone: Microphone, listener: Listener, *, on_failure: OnFailure) -> None:
        """Begin at once. ``on_failure`` is told when the microphone, the recogniser or the detector breaks."""
        self._microphone = microphone
        self._listener = listener
        self._worker = Worker(
            "listener", self._run, on_failure=on_failure, mend=listener.build_again, on_end=self._go_deaf
        )
        self._worker.start()

    def _run(self, go_on: Callable[[], bool]) -> None:
        while go_on():
            if self._microphone.ended:
                self._listener.flush()
                return
            block = self._microphone.read(_READ_S)
            if block is not None and go_on():
                self._listener.push(block)

    def _go_deaf(self) -> None:
        self._listener.is_deaf = True

    @property
    def is_alive(self) -> bool:
        """Whether it is still listening."""
        return self._worker.is_alive

    @property
    def silent_s(self) -> float:
        """For how long it gave no sign of life [s]: the recogniser hangs, or the computer is too slow."""
        return self._worker.silent_s

    def replace(self) -> None:
        """Leave a recogniser that hangs to itself, and listen with another one."""
        self._worker.replace()

    def close(self) -> None:
        """Stop listening; the microphone stays open and is the caller's to close."""
        self._worker.close()
