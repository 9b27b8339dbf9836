"""What ``mic-check`` tells from a sound, on sounds that were made with known levels, delays and faults."""

import numpy as np
import pytest

from assistant.events import Clarity, Heard, Thresholds
from assistant.hearing.booth import Answer, Played
from assistant.hearing.mic_check import Found, SaidPhrase, advise, tail_ms
from assistant.hearing.mic_sound import Echo, clipped_share, find_echo, hum_share, is_dead, noise_db, speech_db
from assistant.language.en.numbers import number_words
from assistant.voice.ports import RATE
from tests.voice.people import Person, blocks

RANDOM = np.random.default_rng(1)


def white(seconds, level_db):
    return np.rint(32_768 * 10 ** (level_db / 20) * RANDOM.standard_normal(round(seconds * RATE))).astype(np.int16)


def sine(seconds, hertz, peak):
    return np.rint(peak * np.sin(2 * np.pi * hertz * np.arange(round(seconds * RATE)) / RATE)).astype(np.int16)


def test_levels_are_those_that_were_made():
    # White noise has 5.75 of its 8 kHz in the band of speech from 250 to 6,000 Hz: 10 log10(5.75 / 8) = -1.4 dB.
    assert noise_db(white(2, -40)) == pytest.approx(-41.4, abs=0.5)
    # A 1 kHz tone of half the full scale for half of the time: 20 log10(0.5) - 3.01 = -9.0 dB while it sounds.
    half = np.concatenate([white(1, -70), sine(1, 1000, 16_384)])
    assert speech_db(half, -70.0) == pytest.approx(-9.0, abs=0.4)


def test_no_signal_is_told_from_a_quiet_room():
    assert is_dead(np.zeros(0, dtype=np.int16))
    assert is_dead(np.zeros(RATE, dtype=np.int16))
    assert is_dead(np.full(RATE, 900, dtype=np.int16))
    assert not is_dead(white(1, -75))


@pytest.mark.parametrize("mains", [50, 60])
def test_hum_is_told_from_noise_and_from_speech(mains):
    hum = sine(2, mains, 6000) + sine(2, 3 * mains, 2000) + white(2, -60)
    assert hum_share(hum) > 0.95
    assert hum_share(white(2, -30)) < 0.2
    assert hum_share(Person("flite", "rms").say("the second bolt was loose")) < 0.5


def test_clipping_is_runs_at_the_end_of_the_scale():
    loud = np.clip(3.0 * sine(1, 300, 32_767).astype(float), -32_768, 32_767).astype(np.int16)
    # Of a sine three times too strong, the part above a third of its peak is cut: 1 - (2 / pi) arcsin(1 / 3) = 0.784.
    assert clipped_share(loud) == pytest.approx(0.784, abs=0.05)
    assert clipped_share(sine(1, 300, 30_000)) == 0.0


@pytest.mark.parametrize(("delay", "gain"), [(0.05, 0.3), (0.32, 0.05)])
def test_the_own_voice_is_found_with_its_delay_and_level(delay, gain):
    voice = Person("flite", "rms").say("bolts four to eight thirty two newton metres")
    sound = np.concatenate([np.zeros(RATE), voice, np.zeros(2 * RATE)]).astype(float)
    heard = np.roll(sound, round(delay * RATE)) * gain + white(sound.size / RATE, -66)
    played = [Played(voice[at : at + 512], RATE, 101.0 + at / RATE) for at in range(0, voice.size, 512)]
    silent_at = 101.0 + voice.size / RATE
    found = find_echo(blocks(heard.astype(np.int16), 100.0), played, silent_at, -67.0)
    assert found.delay_s == pytest.approx(delay, abs=0.021)
    assert found.tail_s == pytest.approx(delay, abs=0.1)
    # It is the level while the voice sounds: more than over the whole of it, gaps between the words and all.
    whole = 20 * np.log10(gain * voice.astype(float).std() / 32_768)
    assert whole < found.level_db < whole + 5


def test_a_room_that_does_not_hear_the_loudspeaker_has_no_echo():
    voice = Person("flite", "rms").say("bolts four to eight")
    played = [Played(voice, RATE, 101.0)]
    assert find_echo(blocks(white(5, -50), 100.0), played, 103.0, -51.0) is None
    assert find_echo([], played, 103.0, -51.0) is None


def found(*, level=-25.0, noise=-60.0, hum=0.0, clipped=0.0, own=None, right=8, doubtful=False, still=0.0):
    heard = Heard("next", 0.9, 0.0, 1.0, Clarity.PHRASE) if level is not None else None
    said = [SaidPhrase("next", Answer(heard, white(0.1, -30)), level or -96.0, clipped)] * 8
    return Found(noise, hum, own, said, right, is_doubtful=doubtful, still_s=still)


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (found(), []),
        (found(clipped=0.02, level=-6.0), ["eight phrases were clipped: turn the gain down"]),
        (found(level=-50.0, noise=-80.0), ["Your voice is weak: turn the gain up"]),
        (found(noise=-35.0), ["ten decibels over the noise, which is little: bring the microphone closer"]),
        (found(noise=-28.0), ["three decibels over the noise, which is too little"]),
        (found(hum=0.9), ["There is mains hum"]),
        (found(level=None, hum=0.9, right=0), ["gives hum only: check its cable"]),
        (found(level=None, right=0), ["I heard nobody speak"]),
        (found(own=Echo(-30.0, 0.1, 0.6)), ["The room echoes long"]),
        (found(doubtful=True), ["Something sounded while I spoke"]),
        (found(level=None, right=0, doubtful=True, still=7.0), ["This computer stood still"]),
    ],
)
def test_every_fault_is_told_with_what_to_change(measured, words):
    *advice, last = advise(measured)
    assert last == f"I understood {number_words(measured.right)} of eight phrases."
    assert len(advice) == len(words)
    for word, sentence in zip(words, advice, strict=True):
        assert word in sentence


def test_a_phrase_is_right_when_the_assistant_would_have_acted_upon_it():
    def right(phrase, text, confidence, clarity=Clarity.PHRASE):
        answer = Answer(Heard(text, confidence, 0.0, 1.0, clarity), white(0.1, -30))
        return SaidPhrase(phrase, answer, -20.0, 0.0).is_right(Thresholds(0.4, 0.6, 0.8))

    assert right("repeat", "say again", 0.5)
    assert not right("confirmed", "confirmed", 0.7)
    assert not right("count four", "count five", 0.9)
    assert not right("next", "", 0.9, Clarity.UNCLEAR)


def test_the_microphone_stays_closed_as_long_as_the_own_voice_is_heard():
    assert tail_ms(found()) == 150
    assert tail_ms(found(own=Echo(-30.0, 0.1, 0.32))) == 420
    assert tail_ms(found(own=Echo(-30.0, 0.1, 9.0))) == 1500
