"""Listening through the own voice: real canceller and detector, rooms from their physics, faster than real time."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.events import Clarity
from assistant.voice.adapters.webrtc import WebrtcCanceller, has_canceller
from assistant.voice.listening.over_echo import EchoWay, LostBy, OverEcho
from assistant.voice.ports import BLOCK, RATE, Block, Samples, VoiceFault
from assistant.voice.sound.played import PlayedSound
from tests.fakes.detector import EverythingIsVoice
from tests.fakes.recogniser import TellRecogniser
from tests.voice.echo_bay import CARD_S, EchoBay, Path
from tests.voice.people import Person

pytestmark = [pytest.mark.audio, pytest.mark.skipif(not has_canceller(), reason="the extra echo is not installed")]

OWN = Person("espeak-ng", "en-gb")
RMS = Person("flite", "rms")
SENTENCES = (
    "Step three of twelve. Remove the cover, and count the bolts as you take them out.",
    "Hazard. The coolant is hot and under pressure. Let the engine cool down before you open the cap. Say confirmed.",
    "Tighten bolts one to four to twelve newton metres, crosswise. Say next when they are done.",
    "Measure the clearance of valve two, and say the reading in millimetres.",
)
ROOMS = {
    "close by": Path(0.02, -12.0),
    "usual": Path(0.08, -6.0, drive=1.0),
    "as loud as it is played, and distorted": Path(0.15, 0.0, 0.5, drive=2.0, noise_db=-55.0),
    "far and late": Path(0.25, -10.0, 0.6, 2.0, 1.0, -50.0),
}


def power(samples: np.ndarray) -> float:
    """Return the mean square of what sounds in ``samples``, shape (n,)."""
    sound = samples.astype(float)
    return float(np.mean(sound[np.abs(sound) > 0.1 * np.abs(sound).max()] ** 2))


def own(sentence: str) -> Samples:
    return (OWN.say(sentence) * 0.6).astype(np.int16)


def say_all(bay: EchoBay, times: int = 1) -> None:
    for sentence in SENTENCES * times:
        bay.say(own(sentence))


def at_microphone(bay: EchoBay, person: Samples, over_db: float) -> np.ndarray:
    """Return ``person`` at a level at which the echo of the own voice lies ``over_db`` above."""
    echo = power(own(SENTENCES[0])) * 10 ** ((bay.path.gain_db - over_db) / 10)
    return person * np.sqrt(echo / power(person))


@pytest.mark.parametrize("room", ROOMS)
def test_its_own_voice_is_never_taken_for_a_person(room: str) -> None:
    bay = EchoBay(ROOMS[room], TellRecogniser("next"))
    say_all(bay)
    bay.pass_(60, stop=lambda: not bay.is_sounding())
    bay.pass_(1)
    assert bay.over.way is EchoWay.KNOWN
    assert (bay.hushed, bay.heard, bay.lost) == ([], [], [])


@pytest.mark.parametrize(("word", "over_db"), [("yes", 0.0), ("next", -6.0), ("repeat", 0.0)])
def test_a_person_who_speaks_over_it_silences_it_in_a_quarter_of_a_second(word: str, over_db: float) -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser(word, settles=False))
    say_all(bay)
    bay.pass_(8)
    assert bay.hushed == []
    begins = bay.now + CARD_S  # when the block with the first sound is stamped
    bay.speak(at_microphone(bay, RMS.say(word), over_db))
    bay.pass_(3)
    assert bay.hushed, "not noticed"
    # The microphone's block waited for CARD_S, and what the loudspeaker still has sounds for as long.
    assert bay.hushed[0] - (begins - CARD_S) + CARD_S < 0.25
    [heard] = bay.heard
    assert (heard.text, heard.over) == (word, True)
    assert heard.started_at == pytest.approx(begins, abs=0.25)


def test_without_the_canceller_nobody_is_heard_while_it_speaks() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("yes"), over=False)
    say_all(bay)
    bay.pass_(8)
    bay.speak(at_microphone(bay, RMS.say("yes"), -6.0))
    bay.pass_(3)
    assert (bay.hushed, bay.heard) == ([], [])


def test_what_is_said_between_its_sentences_is_as_it_came() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("yes"))
    say_all(bay)
    bay.pass_(60, stop=lambda: not bay.is_sounding())
    bay.pass_(1)
    bay.speak(at_microphone(bay, RMS.say("yes"), 0.0))
    bay.pass_(2)
    [heard] = bay.heard
    assert not heard.over


def test_a_sound_of_the_sea_of_the_same_level_is_no_person() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("yes"))
    say_all(bay)
    bay.pass_(8)
    hiss = np.random.default_rng(3).standard_normal(RATE)
    bay.speak(at_microphone(bay, np.rint(3000 * hiss).astype(np.int16), -6.0))
    bay.pass_(3)
    assert (bay.hushed, bay.heard) == ([], [])


def test_a_way_that_keeps_changing_is_told_once_and_nothing_is_believed_any_more() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("", clarity=Clarity.UNCLEAR))
    say_all(bay)
    bay.pass_(6)
    for number in range(8):  # the microphone is carried around: again and again the sound comes by another way
        bay.take(Path(0.03 + 0.09 * (number % 3), 3.0, 0.4, 3.0, 2.0, seed=number))
        bay.say(own(SENTENCES[number % 4]))
        bay.pass_(2.5)
    assert bay.lost == [LostBy.ECHO]
    assert bay.over.way is EchoWay.LOST
    assert [heard.clarity for heard in bay.heard] == [Clarity.UNCLEAR] * len(bay.hushed)
    before = len(bay.hushed)
    say_all(bay)
    bay.pass_(1)
    bay.speak(at_microphone(bay, RMS.say("yes"), -6.0))
    bay.pass_(1)
    assert len(bay.hushed) == before


def test_a_way_that_is_good_again_is_believed_again() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("next"))
    bay.over._lose(LostBy.ECHO)
    say_all(bay, 2)
    bay.pass_(9)
    assert bay.over.way is EchoWay.LOST
    bay.pass_(10)
    assert bay.over.way is EchoWay.KNOWN


def test_another_microphone_is_told_and_the_microphone_stays_closed() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("next"))
    say_all(bay, 3)
    bay.pass_(8)
    bay.same_devices = False
    bay.pass_(25)
    assert bay.lost == [LostBy.DEVICES]
    assert bay.over.way is EchoWay.LOST


class Breaking(WebrtcCanceller):
    """A canceller that breaks after 5 s."""

    left = 250

    def process(self, microphone: Samples, played: Samples) -> Samples:
        self.left -= 1
        if self.left < 0:
            raise VoiceFault("It broke.")
        return super().process(microphone, played)


def test_a_canceller_that_breaks_is_told_once_and_the_microphone_stays_closed() -> None:
    lost: list[LostBy] = []
    sound = PlayedSound()
    over = OverEcho(Breaking(), sound, (EverythingIsVoice(), EverythingIsVoice()), on_lost=lost.append)
    voice = np.concatenate([own(sentence) for sentence in SENTENCES])
    for number in range(400):
        piece = voice[number * BLOCK : (number + 1) * BLOCK]
        sound.given(piece, RATE, number * BLOCK / RATE)
        block = Block(piece, (number + 1) * BLOCK / RATE)
        given_on = over.push(block)
    assert lost == [LostBy.BROKEN]
    assert given_on is block
    assert not over.hears_over


def test_who_is_heard_three_times_and_says_nothing_was_the_own_voice() -> None:
    bay = EchoBay(ROOMS["usual"], TellRecogniser("next"))
    say_all(bay)
    bay.pass_(6)
    for _ in range(3):
        bay.over.nobody_spoke()
    assert bay.lost == [LostBy.ECHO]


def test_the_canceller_takes_out_most_of_the_voice_and_leaves_a_person_alone() -> None:
    random = np.random.default_rng(1)
    voice = np.concatenate([own(sentence) for sentence in SENTENCES])
    heard = np.convolve(voice, Path(0.1, -6.0).response())[: voice.size] + 30 * random.standard_normal(voice.size)
    canceller = WebrtcCanceller()

    def through(sound: np.ndarray, played: np.ndarray) -> np.ndarray:
        pieces = range(0, sound.size - BLOCK, BLOCK)
        return np.concatenate([canceller.process(sound[at : at + BLOCK], played[at : at + BLOCK]) for at in pieces])

    left = through(np.rint(heard).astype(np.int16), voice)[voice.size // 2 :].astype(float)
    # 25 dB or more of the echo is gone; what remains of the room's noise is no echo.
    assert np.mean(left**2) < np.mean(heard[voice.size // 2 :] ** 2) / 10**2.5
    person = RMS.say("the second bolt was loose")
    alone = through(person, np.zeros_like(person)).astype(float)
    assert np.mean(alone**2) == pytest.approx(np.mean(person.astype(float) ** 2), rel=0.2)
