"""When something is heard: the gate, the grammar, the thread. Real speech and the real detector where they matter."""

from __future__ import annotations

import subprocess
import sys
import threading

import numpy as np
import pytest

from assistant.events import Clarity, Grammar, Heard, Then
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.listening.endpointing import QUIETEST_DB, Endpointing
from assistant.voice.listening.listener import FAR_DB, TAIL_S, Listener, ListeningThread
from assistant.voice.ports import BLOCK, RATE, Block, Samples, VoiceFault
from assistant.worker import Failure
from tests.fakes.detector import EverythingIsVoice
from tests.fakes.recogniser import TellRecogniser
from tests.voice.people import Person, blocks, in_room, silence
from tests.voice.test_endpoint import tone

RMS = Person("flite", "rms")
WORD = tone(0.4, -15.0)
ONE_WORD = in_room(silence(1), WORD, silence(0.7))


class Ear:
    """A listener with its ear to a fake recogniser; keeps what it heard."""

    def __init__(self, recogniser: TellRecogniser | None = None, **options: object) -> None:
        self.heard: list[Heard] = []
        self.recogniser = recogniser or TellRecogniser()
        self.sounding = False
        self.listener = Listener(
            self.recogniser,
            self.heard.append,
            is_sounding=lambda: self.sounding,
            **{"detector": EverythingIsVoice(), **options},
        )

    def play(self, samples: Samples, at: float = 0.0) -> None:
        for block in blocks(samples, at):
            self.listener.push(block)


def test_a_word_is_heard_with_its_times() -> None:
    ear = Ear()
    ear.play(ONE_WORD, at=1000.0)
    [heard] = ear.heard
    assert heard.text == "next"
    assert heard.started_at == pytest.approx(1001.0, abs=0.05)
    assert heard.ended_at == pytest.approx(1001.4, abs=0.05)


def test_the_recogniser_gets_the_word_with_its_preroll_and_no_more_than_the_hang() -> None:
    ear = Ear()
    ear.play(ONE_WORD)
    knobs = Endpointing()
    assert ear.recogniser.fed / RATE == pytest.approx(knobs.preroll_s + 0.4 + knobs.short_hang_s, abs=0.08)


def test_the_own_voice_is_not_heard() -> None:
    ear = Ear()
    ear.sounding = True
    ear.play(ONE_WORD)
    assert ear.heard == []


def test_a_word_within_the_tail_of_the_own_voice_is_not_heard_but_after_it() -> None:
    ear = Ear()
    ear.sounding = True
    ear.play(in_room(silence(1)))
    ear.sounding = False
    ear.play(in_room(tone(TAIL_S - 0.05, -15.0), silence(0.6)), at=1.0)
    assert ear.heard == []
    ear.play(in_room(WORD, silence(0.6)), at=2.0)
    assert len(ear.heard) == 1


def _into_the_gate(said: str, told: str, part: float) -> list[Clarity]:
    """Say ``said`` so that the gate opens when ``part`` of it is over; the recogniser takes the rest for ``told``."""
    teller = TellRecogniser()
    teller.text = told
    ear = Ear(teller, detector=SileroDetector())
    ear.listener.set_grammar(Grammar(("next", "repeat", "what comes next")))
    speech = RMS.say(said)
    opens_at = 1.0 + part * speech.size / RATE
    for block in blocks(in_room(silence(1), speech, silence(0.7))):
        ear.sounding = block.ended_at < opens_at - TAIL_S
        ear.listener.push(block)
    return [heard.clarity for heard in ear.heard]


def test_the_end_of_a_phrase_is_not_believed_when_its_beginning_fell_into_the_gate() -> None:
    """Of "what comes next" it would be "next", and move the job."""
    cut = [clarity for part in (0.35, 0.45, 0.5, 0.55) for clarity in _into_the_gate("what comes next", "next", part)]
    assert cut
    assert Clarity.PHRASE not in cut


def test_a_word_that_ends_no_other_phrase_and_one_after_a_silence_are_believed() -> None:
    assert _into_the_gate("what comes next", "repeat", 0.5) == [Clarity.PHRASE]
    assert _into_the_gate("next", "next", -0.2) == [Clarity.PHRASE]


def test_an_utterance_is_dropped_when_the_assistant_begins_to_speak() -> None:
    ear = Ear()
    ear.play(in_room(silence(1), WORD))
    assert ear.listener.is_hearing
    ear.sounding = True
    ear.play(in_room(silence(0.5)), at=1.4)
    ear.sounding = False
    ear.play(in_room(silence(1)), at=1.9)
    assert not ear.listener.is_hearing
    assert ear.heard == []


def test_with_a_headset_words_are_heard_while_the_assistant_speaks() -> None:
    ear = Ear(headset=True)
    ear.sounding = True
    ear.play(ONE_WORD)
    assert len(ear.heard) == 1


def test_a_new_grammar_holds_from_the_next_utterance_on() -> None:
    ear = Ear()
    first, second = Grammar(("next",)), Grammar(("confirmed",))
    ear.listener.set_grammar(first)
    ear.play(in_room(silence(1), WORD))
    ear.listener.set_grammar(second)
    assert ear.recogniser.grammars == [first]
    ear.play(in_room(silence(0.7)), at=1.4)
    ear.play(ONE_WORD, at=2.2)
    assert ear.recogniser.grammar_of_utterance == [first, second]


def test_far_speech_that_is_no_phrase_is_background_talk() -> None:
    teller = TellRecogniser()
    ear = Ear(teller)
    ear.play(ONE_WORD)
    teller.clarity = Clarity.UNCLEAR
    ear.play(in_room(silence(1), tone(0.4, -15.0 - FAR_DB - 4), silence(0.7)), at=10.0)
    ear.play(in_room(silence(1), WORD, silence(0.7)), at=20.0)
    assert [heard.clarity for heard in ear.heard] == [Clarity.PHRASE, Clarity.SPEECH, Clarity.UNCLEAR]


def test_the_meter_shows_the_level() -> None:
    ear = Ear()
    assert ear.listener.level == QUIETEST_DB
    ear.play(in_room(silence(0.5), tone(0.5, -20.0)))
    assert ear.listener.level == pytest.approx(-23.0, abs=0.5)


def test_a_hammer_never_reaches_the_recogniser_but_a_voice_does() -> None:
    random = np.random.default_rng(5)
    t = np.arange(round(0.25 * RATE)) / RATE
    ring = sum(np.sin(2 * np.pi * hz * t) for hz in (910.0, 1730.0, 2840.0)) + random.standard_normal(t.size)
    bang = np.rint(8_000 * np.exp(-12 * t) * ring / 3).astype(np.int16)
    ear = Ear(detector=None)
    ear.play(in_room(silence(1), *[bang, silence(0.8)] * 4))
    assert ear.heard == []
    assert ear.recogniser.grammar_of_utterance == []
    ear.play(in_room(silence(1), RMS.say("next"), silence(0.7)), at=20.0)
    assert ear.heard[-1].clarity is Clarity.PHRASE


def test_a_word_close_on_other_talk_is_talk() -> None:
    ear = Ear()
    ear.play(in_room(silence(1), WORD, silence(0.26), WORD, silence(0.7)))
    assert [heard.clarity for heard in ear.heard] == [Clarity.PHRASE, Clarity.SPEECH]


def test_a_recording_that_ends_within_a_word_is_heard_to_its_end() -> None:
    ear = Ear()
    ear.play(in_room(silence(1), WORD))
    ear.listener.flush()
    ear.listener.flush()
    assert len(ear.heard) == 1


class Tape:
    """A microphone with given blocks that ends, or breaks, after the last."""

    def __init__(self, samples: Samples, *, breaks: bool = False) -> None:
        self._left = blocks(samples)
        self._breaks = breaks

    def read(self, timeout: float) -> Block | None:
        if self._left:
            return self._left.pop(0)
        if self._breaks:
            raise VoiceFault("The microphone is gone: plug it in again.")
        return None

    @property
    def ended(self) -> bool:
        return not self._left and not self._breaks

    def close(self) -> None:
        self._left = []


def test_on_its_thread_it_hears_until_the_microphone_ends() -> None:
    done = threading.Event()
    heard: list[Heard] = []

    def on_heard(one: Heard) -> None:
        heard.append(one)
        done.set()

    listener = Listener(TellRecogniser(), on_heard, detector=EverythingIsVoice())
    thread = ListeningThread(Tape(ONE_WORD), listener, on_failure=lambda _failure: None)
    assert done.wait(10)
    thread.close()
    assert not thread.is_alive
    assert len(heard) == 1


def test_a_fault_of_the_microphone_is_told_and_after_the_third_nobody_listens() -> None:
    told: list[Failure] = []
    listener = Listener(TellRecogniser(), lambda _: None, detector=EverythingIsVoice())
    done = threading.Event()

    def tell(failure: Failure) -> None:
        told.append(failure)
        if failure.then is Then.ENDED:
            done.set()

    thread = ListeningThread(Tape(silence(0.1), breaks=True), listener, on_failure=tell)
    assert done.wait(10)
    thread.close()
    assert [failure.then for failure in told] == [Then.AGAIN, Then.AGAIN, Then.ENDED]
    assert {failure.sentence for failure in told} == {"The microphone is gone: plug it in again."}
    assert listener.is_deaf


def test_a_block_that_is_not_full_does_no_harm() -> None:
    ear = Ear()
    ear.listener.push(Block(np.zeros(BLOCK // 2, dtype=np.int16), 0.01))
    ear.listener.push(Block(np.zeros(0, dtype=np.int16), 0.01))
    assert ear.heard == []


def test_the_detector_of_voices_works_in_the_thread_that_asks_it() -> None:
    """Its library would share each tenth of a millisecond of work among four threads, for ten times the processor."""
    code = (
        "import os, numpy\n"
        "from assistant.voice.adapters.silero import SileroDetector\n"
        "detector, before = SileroDetector(), len(os.listdir('/proc/self/task'))\n"
        "detector.feed(numpy.zeros(16_000, numpy.int16))\n"
        "print(len(os.listdir('/proc/self/task')) - before)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert ran.stdout == "0\n"
