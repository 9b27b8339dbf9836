"""Talk that is meant for nobody: when it goes on, and which phrases count in it all the same."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.events import Clarity, Grammar, Heard, SlotKind
from assistant.events import Slot as SpokenSlot
from assistant.language.en import ENGLISH
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.endpointing import Endpointing
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.running_talk import LATELY_S, LEAST_TALK_S, TALK_S, UNHEARD_S, RunningTalk, as_alone
from assistant.voice.ports import SILENCE, Opinion, Samples
from tests.fakes.detector import EverythingIsVoice
from tests.fakes.recogniser import TellRecogniser
from tests.voice.people import Person, blocks, in_room, silence
from tests.voice.test_endpoint import tone

WORDS = Opinion(words_s=0.1)
KNOBS = Endpointing()
NEXT = Heard("next", 0.95, 10.0, 10.5, words_s=0.4)


def talk(seconds: float, ended: float, clarity: Clarity = Clarity.SPEECH) -> Heard:
    return Heard("", 0.5, ended - seconds, ended, clarity)


def test_talk_goes_on_for_some_seconds_behind_more_than_short_utterances() -> None:
    said = RunningTalk()
    assert not said.goes_on(0.0)
    for ended in (0.2, 0.4, 0.6, 0.8):
        said.note(talk(LEAST_TALK_S - 0.1, ended, Clarity.UNCLEAR))
    assert not said.goes_on(0.9)  # commands that were not understood
    said.note(talk(TALK_S / 2, 1.0, Clarity.UNCLEAR))
    assert not said.goes_on(1.1)
    said.note(talk(TALK_S / 2, 3.0))
    assert said.goes_on(3.1)
    assert said.goes_on(1.0 + LATELY_S)
    assert not said.goes_on(1.1 + LATELY_S)  # the first is too long ago


def test_commands_and_notes_are_no_talk() -> None:
    said = RunningTalk()
    for clarity in (Clarity.PHRASE, Clarity.DICTATION):
        said.note(talk(3 * TALK_S, 8.0, clarity))
    assert not said.goes_on(8.1)


def test_a_phrase_whose_words_leave_much_of_the_voice_unheard_is_none() -> None:
    # Of "what do you know about dreams", 1.8 s long, two words sounded like "what remains": 0.6 s.
    long = Heard("what remains", 1.0, 10.0, 11.8, words_s=0.6)
    assert as_alone(long, in_talk=False, least=0.9).clarity is Clarity.UNCLEAR
    assert as_alone(long, in_talk=True, least=0.9) == replace(long, text="", clarity=Clarity.SPEECH)
    assert as_alone(NEXT, in_talk=False, least=0.9) is NEXT
    just = replace(NEXT, ended_at=NEXT.started_at + NEXT.words_s + UNHEARD_S - 0.01)
    assert as_alone(just, in_talk=False, least=0.9) is just
    unknown = replace(long, words_s=0.0)  # an engine that does not tell of words
    assert as_alone(unknown, in_talk=False, least=0.9) is unknown


def test_in_talk_a_phrase_must_be_as_sure_as_a_critical_one() -> None:
    unsure = replace(NEXT, confidence=0.89)
    assert as_alone(unsure, in_talk=False, least=0.9) is unsure
    assert as_alone(unsure, in_talk=True, least=0.9).clarity is Clarity.SPEECH
    assert as_alone(NEXT, in_talk=True, least=0.9) is NEXT
    unclear = talk(1.0, 5.0, Clarity.UNCLEAR)
    assert as_alone(unclear, in_talk=True, least=0.9) is unclear


class Talking(TellRecogniser):
    """Takes the first utterance for talk, and all that follow for *next*."""

    def finish(self, started_at: float, ended_at: float) -> Heard:
        heard = super().finish(started_at, ended_at)
        return replace(heard, clarity=Clarity.SPEECH, text="") if started_at < 3.0 else heard

    def settled(self, pause_s: float) -> bool:
        return True


def heard_of(samples: Samples, *, words: bool = True) -> list[tuple[Heard, float]]:
    """Return what is heard, and when it is known [s]."""
    found: list[tuple[Heard, float]] = []
    now = 0.0
    recogniser = Talking()
    listener = Listener(
        recogniser, lambda heard: found.append((heard, now)), headset=True, detector=EverythingIsVoice()
    )
    for block in blocks(samples):
        now = block.ended_at
        recogniser.opinion = WORDS if words else SILENCE
        listener.push(block)
    return found


def test_a_machine_that_is_taken_for_a_voice_is_no_talk() -> None:
    heard = heard_of(in_room(silence(0.5), tone(3.0), silence(1.4), WORD, silence(1.5)), words=False)
    assert heard[1][1] - heard[1][0].ended_at == pytest.approx(KNOBS.short_hang_s, abs=0.06)


WORD = tone(0.4, -15.0)


@pytest.mark.parametrize(("pause_s", "clarity"), [(0.7, Clarity.SPEECH), (1.0, Clarity.PHRASE)])
def test_in_talk_a_word_needs_more_silence_before_it(pause_s: float, clarity: Clarity) -> None:
    (_, _), (heard, _) = heard_of(in_room(silence(0.5), tone(3.0), silence(pause_s), WORD, silence(1.5)))
    assert heard.clarity is clarity


def test_in_talk_a_word_needs_more_silence_behind_it_and_soon_after_no_more() -> None:
    (_, _), (heard, known) = heard_of(in_room(silence(0.5), tone(3.0), silence(1.4), WORD, silence(1.5)))
    assert known - heard.ended_at == pytest.approx(KNOBS.talk_hang_s, abs=0.06)
    later = heard_of(in_room(silence(0.5), tone(3.0), silence(LATELY_S + 0.5), WORD, silence(1.5)))
    assert later[1][1] - later[1][0].ended_at == pytest.approx(KNOBS.short_hang_s, abs=0.06)


def test_in_talk_what_goes_on_after_half_a_second_is_one_utterance() -> None:
    said = in_room(silence(0.5), tone(3.0), silence(1.4), WORD, silence(0.5), WORD, silence(1.5))
    assert len(heard_of(said)) == 2


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_a_phrase_that_begins_one_with_a_number_waits_for_the_number() -> None:
    recogniser = VoskRecogniser(ENGLISH)
    slot = SpokenSlot.of("go back {} steps", SlotKind.WHOLE)
    for grammar, least_s in ((Grammar(("go back",)), 0.12), (Grammar(("go back",), (slot,)), 0.26)):
        recogniser.set_grammar(grammar)
        recogniser.start()
        for block in blocks(in_room(silence(0.3), Person("flite", "rms").say("go back"), silence(0.2))):
            recogniser.feed(block.samples)
        assert recogniser.settled(0.26)
        assert recogniser.settled(0.16) is (least_s < 0.16)
