"""The filter beside the canceller, against rooms whose echo is known: it finds it, and leaves a person whole."""

import numpy as np
import pytest

from assistant.voice.listening.linear_echo import LinearEcho
from assistant.voice.ports import BLOCK, RATE
from tests.voice.echo_bay import Path
from tests.voice.people import Person

SECONDS = 12


def own_voice():
    text = (
        "Step three of twelve. Remove the cover, and count the bolts as you take them out. Keep the long ones apart. "
    )
    voice = Person("espeak-ng", "en-gb").say(text * 3)[: SECONDS * RATE]
    return (voice * 0.6).astype(np.int16)


def echoed(voice, path):
    from scipy.signal import fftconvolve

    return fftconvolve(voice, path.response())[: voice.size]


def power_db(sound):
    return 10 * np.log10(np.mean(sound.astype(float) ** 2) + 1e-9)


def through(microphone, played):
    """Return what the filter leaves and what it takes for the echo, each of shape (n,)."""
    echo = LinearEcho()
    starts = range(0, microphone.size - BLOCK + 1, BLOCK)
    both = [echo.process(microphone[at : at + BLOCK], played[at : at + BLOCK]) for at in starts]
    left, taken = zip(*both, strict=True)
    return np.concatenate(left), np.concatenate(taken)


@pytest.mark.parametrize("path", [Path(0.02, -12.0), Path(0.12, -6.0), Path(0.2, 0.0, 0.25)])
def test_the_echo_that_it_takes_out_is_the_one_that_the_room_made(path):
    voice = own_voice()
    made = echoed(voice, path)
    heard = np.rint(made + 10 * np.random.default_rng(1).standard_normal(voice.size)).astype(np.int16)
    left, taken = through(heard, voice)
    last = slice(left.size // 2, left.size)
    # 20 dB of an echo that lies 35 dB over the noise: measured, with 3 dB to spare.
    assert power_db(taken[last] - made[: taken.size][last]) < power_db(made[: taken.size][last]) - 17
    assert power_db(left[last]) < power_db(heard[: left.size][last]) - 17


def test_a_person_as_loud_as_the_echo_stays_whole():
    voice, path = own_voice(), Path(0.12, -6.0)
    made = echoed(voice, path)
    person, at = np.zeros(voice.size), 9 * RATE
    said = Person("flite", "rms").say("count the bolts again").astype(float)
    said *= 10 ** ((power_db(made) - power_db(said)) / 20)
    person[at : at + said.size] = said
    left, _ = through(np.rint(made + person).astype(np.int16), voice)
    begins, ends = at, min(at + said.size, left.size)
    # What is left besides the person, echo and what it took of the person, lies 6 dB under the person at least.
    assert power_db(left[begins:ends] - person[begins:ends]) < power_db(said) - 6


def test_without_an_echo_the_sound_is_as_it_came():
    sound = Person("flite", "rms").say("next")
    left, taken = through(sound, np.zeros_like(sound))
    assert np.array_equal(left, sound[: left.size])
    assert not taken.any()
