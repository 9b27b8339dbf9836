"""An engine that breaks or hangs is started again, and another voice speaks when that does not help."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator

import numpy as np
import pytest

from assistant.bay.engines import start_synthesiser
from assistant.events import Then
from assistant.settings import Settings
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.ports import VoiceFault
from assistant.voice.speaking.mixer import Clip
from assistant.voice.speaking.process import PYTTSX3, ProcessSynthesiser
from assistant.voice.speaking.rendering import LETTERS_MOST, WORDS_MOST, breath_groups
from assistant.voice.speaking.speaker import CardSpeaker
from assistant.voice.speaking.voices import MUTE, Voices
from assistant.worker import Failure
from tests.devices.waiting import until
from tests.fakes.breaking_voice import BreakingVoice, HangingVoice, OddVoice
from tests.fakes.eager_loudspeaker import EagerLoudspeaker, StuckLoudspeaker

pytestmark = pytest.mark.audio

HANGING = f"{HangingVoice.__module__}:{HangingVoice.__name__}"
RATE = 16_000


@pytest.fixture
def told() -> list[Failure]:
    return []


@pytest.fixture
def process() -> Iterator[ProcessSynthesiser]:
    voice = ProcessSynthesiser(PYTTSX3)
    yield voice
    voice.close()


def is_running(voice: ProcessSynthesiser) -> bool:
    return voice._engine._process.poll() is None


def test_a_voice_in_another_process_says_what_it_says_in_ours(process: ProcessSynthesiser) -> None:
    here = Pyttsx3Synthesiser()
    for text in ("Bolts four to eight.", "Thirty-two newton metres.", "..."):
        theirs = process.render(text, rate=165, rate_hz=RATE)
        assert theirs.size == pytest.approx(here.render(text, rate=165, rate_hz=RATE).size, rel=0.01)
    assert process.voice == here.voice


def test_a_voice_that_is_not_there_is_told_as_in_our_process() -> None:
    with pytest.raises(VoiceFault) as fault:
        ProcessSynthesiser(PYTTSX3, "klingon").ready()
    assert fault.value.sentence.startswith('There is no voice "klingon"; the English ones are')


def test_an_engine_that_hangs_is_ended_and_the_fault_comes_in_time() -> None:
    voice = ProcessSynthesiser(HANGING, patience_s=0.3).ready()
    began = time.monotonic()
    with pytest.raises(VoiceFault, match="did not answer in time"):
        voice.render("Let it hang.", rate=165, rate_hz=RATE)
    assert time.monotonic() - began < 3
    assert not is_running(voice)


def test_the_process_ends_with_its_last_user_even_while_it_hangs() -> None:
    voice = ProcessSynthesiser(HANGING, patience_s=0.1).ready()
    assert voice._engine._process.stdin
    voice._engine._process.stdin.write(b'{"text": "hang", "rate": 165, "rate_hz": 16000}\n')
    voice._engine._process.stdin.close()  # what the kernel does when our process dies, however it dies
    assert voice._engine._process.wait(10) == 0


def test_a_process_that_was_killed_is_started_again(told: list[Failure]) -> None:
    first = ProcessSynthesiser(PYTTSX3).ready()
    voices = Voices(first, [lambda: ProcessSynthesiser(PYTTSX3)], on_failure=told.append)
    os.kill(first._engine._process.pid, 9)
    first._engine._process.wait()
    assert voices.render("Next.", rate=165, rate_hz=RATE).size > 0
    voices.close()
    assert [(one.part, one.error, one.then) for one in told] == [("voice", "VoiceFault", Then.AGAIN)]


def test_after_the_third_failure_another_voice_speaks_the_same_sentence(told: list[Failure]) -> None:
    def breaks() -> BreakingVoice:
        return BreakingVoice(Pyttsx3Synthesiser(), "crank", lambda: ValueError("odd phoneme"))

    voices = Voices(breaks(), [breaks, lambda: Pyttsx3Synthesiser("en-gb-x-rp")], on_failure=told.append)
    assert voices.render("Turn the crank.", rate=165, rate_hz=RATE).size > 0
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN, Then.OTHER]
    assert {one.error for one in told} == {"ValueError"}
    voices.render("Turn the crank.", rate=165, rate_hz=RATE)
    assert len(told) == 3, "the other voice goes on"


def test_when_no_voice_works_it_says_so_at_once_and_tries_again_a_minute_later(told: list[Failure]) -> None:
    now = [0.0]
    made: list[str] = []

    def make() -> BreakingVoice:
        made.append("again")
        return BreakingVoice(Pyttsx3Synthesiser(), "crank", lambda: ValueError("odd phoneme"))

    voices = Voices(make(), [make], on_failure=told.append, clock=lambda: now[0])
    for _ in range(3):
        with pytest.raises(VoiceFault, match=MUTE):
            voices.render("Turn the crank.", rate=165, rate_hz=RATE)
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN, Then.ENDED]
    now[0] = 61.0
    assert voices.render("Next.", rate=165, rate_hz=RATE).size > 0


def test_the_settings_of_a_bay_give_a_voice_in_its_own_process_and_another_behind_it() -> None:
    voices = start_synthesiser(Settings(voice="en-gb-x-rp"))
    voices.ready()
    assert isinstance(voices._now, ProcessSynthesiser)
    assert voices._now.voice == "gmw/en-gb-x-rp"
    assert len(voices._makers) >= 2
    voices.close()


def test_a_voice_that_raises_anything_at_all_leaves_the_microphone_open_and_the_speaker_speaking() -> None:
    said: list[tuple[str, bool]] = []
    faults: list[str] = []
    told: list[Failure] = []
    sink = EagerLoudspeaker()
    speaker = CardSpeaker(
        BreakingVoice(Pyttsx3Synthesiser(), "crank", lambda: ValueError("odd phoneme")),
        sink,
        on_said=lambda *one: said.append(one),
        on_fault=faults.append,
        on_failure=told.append,
    )
    speaker.say("Turn the crank.")
    until(lambda: not speaker.is_sounding(), "the gate to open")
    speaker.say("Next.")
    until(lambda: len(said) == 2, "the next answer")
    assert said == [("Turn the crank.", False), ("Next.", True)]
    assert [(one.part, one.error, one.then) for one in told] == [("speaker", "ValueError", Then.AGAIN)]
    speaker.close()


def test_a_broken_mixer_gives_the_card_silence_and_opens_the_microphone() -> None:
    told: list[Failure] = []
    said: list[tuple[str, bool]] = []
    sink = EagerLoudspeaker()
    speaker = CardSpeaker(Pyttsx3Synthesiser(), sink, on_said=lambda *one: said.append(one), on_failure=told.append)
    speaker._open[0] = "Never heard."
    speaker._mixer.play(Clip(np.zeros((3, 3), dtype=np.int16), 0, last=True))  # samples of a shape that cannot be
    until(lambda: bool(told), "the failure to be told")
    until(lambda: not speaker.is_sounding(), "the gate to open")
    assert said == [("Never heard.", False)]
    assert (told[0].part, told[0].then) == ("loudspeaker", Then.AGAIN)
    speaker.say("Next.")
    until(lambda: len(said) == 2, "the next answer")
    assert said[1] == ("Next.", True)
    speaker.close()


def test_four_thousand_words_of_a_note_are_given_to_the_engine_breath_by_breath() -> None:
    words = [f"word{number % 7}" for number in range(4000)]
    parts = breath_groups(" ".join(words))
    assert " ".join(parts).split() == words
    assert max(len(part.split()) for part in parts) <= WORDS_MOST
    assert max(map(len, breath_groups("a" * 5000 + " b " * 5000))) <= LETTERS_MOST
    assert "".join(breath_groups("a" * 5000)) == "a" * 5000


def test_a_long_sentence_is_cut_after_a_comma() -> None:
    text = " ".join(["one two three four five,"] * 12)
    assert all(part.endswith(",") for part in breath_groups(text))
    assert breath_groups("Torque it, then angle.") == ["Torque it, then angle."]


@pytest.mark.slow
def test_a_text_of_four_thousand_words_is_spoken_to_its_end_and_the_next_one_too(process: ProcessSynthesiser) -> None:
    said: list[tuple[str, bool]] = []
    speaker = CardSpeaker(process, EagerLoudspeaker(), on_said=lambda *one: said.append(one))
    text = " ".join(f"word{number % 9}" for number in range(4000))
    speaker.say(text)
    speaker.say("Next.", cut=False)
    until(lambda: len(said) == 2, "both texts", 100)
    assert said == [(text, True), ("Next.", True)]
    until(lambda: not speaker.is_sounding(), "the gate to open")
    speaker.close()


def test_an_engine_that_raises_anything_in_its_process_is_told_and_the_process_goes_on() -> None:
    voice = ProcessSynthesiser(f"{OddVoice.__module__}:{OddVoice.__name__}").ready()
    with pytest.raises(VoiceFault, match="ValueError"):
        voice.render("Turn the crank.", rate=165, rate_hz=RATE)
    assert voice.render("Next.", rate=165, rate_hz=RATE).size > 0
    voice.close()


def test_be_quiet_opens_the_microphone_at_once_even_while_the_engine_hangs() -> None:
    told: list[Failure] = []
    process = ProcessSynthesiser(HANGING, patience_s=1.0).ready()
    voices = Voices(process, [Pyttsx3Synthesiser], on_failure=told.append)
    speaker = CardSpeaker(voices, EagerLoudspeaker())
    speaker.say("Let it hang.")
    assert speaker.is_sounding()
    speaker.hush()
    assert not speaker.is_sounding()
    assert told == [], "the engine hangs still"
    speaker.close()


def test_a_loudspeaker_that_takes_nothing_is_no_reason_to_stay_deaf() -> None:
    said: list[tuple[str, bool]] = []
    told: list[Failure] = []
    speaker = CardSpeaker(
        Pyttsx3Synthesiser(), StuckLoudspeaker(), on_said=lambda *one: said.append(one), on_failure=told.append
    )
    speaker.say("Nobody hears this.")
    until(lambda: speaker._mixer.busy, "the sentence to be rendered")
    speaker.rescue()  # the watchdog does so after twenty seconds
    assert not speaker.is_sounding()
    assert said == [("Nobody hears this.", False)]
    assert [(one.part, one.error) for one in told] == [("speaker", "Stalled")]
    speaker.close()
