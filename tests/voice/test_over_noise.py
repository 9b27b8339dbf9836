"""How far a voice stands over the noise before it, against sounds of known powers; what the listener makes of that."""

from __future__ import annotations

import math

import numpy as np
import pytest

from assistant.events import Grammar, Heard
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.over_noise import is_drowned, over_noise_db
from assistant.voice.ports import RATE, Samples
from tests.voice.people import Person, blocks, in_room, silence

LEVEL = 1000.0
VOICE = Person("flite", "rms")


def noise(seconds: float, start_value: int = 1) -> Samples:
    return (np.random.default_rng(start_value).standard_normal(round(seconds * RATE)) * LEVEL).astype(np.int16)


@pytest.mark.parametrize("snr_db", [12.0, 6.0, 0.0, -6.0])
def test_it_is_the_ratio_of_the_powers(snr_db: float) -> None:
    """Both are white, so the ratio in the band of speech is that of all (powers of independent sounds add up)."""
    louder = noise(1.0, 2) * 10 ** (snr_db / 20)
    said = (noise(1.0, 3) + louder).astype(np.int16)
    assert over_noise_db(blocks(said), blocks(noise(2.0))) == pytest.approx(snr_db, abs=1.5)


def test_blows_with_gaps_between_them_are_no_steady_noise() -> None:
    blows = noise(2.0)
    for at in range(0, blows.size, RATE // 2):
        blows[at + RATE // 20 : at + RATE // 2] //= 50
    said = noise(1.0, 4)
    assert over_noise_db(blocks(said), blocks(blows)) > 20


def test_nothing_is_held_against_who_speaks_at_once() -> None:
    assert over_noise_db(blocks(noise(0.5)), blocks(noise(0.2))) == math.inf
    assert not is_drowned([], blocks(noise(2.0)))


@pytest.mark.parametrize(("snr_db", "drowned"), [(None, False), (15.0, False), (-4.0, True)])
def test_a_phrase_in_noise_that_is_louder_than_the_voice_is_marked(snr_db: float | None, drowned: bool) -> None:
    heard: list[Heard] = []
    recogniser = VoskRecogniser(LANGUAGE)
    listener = Listener(recogniser, heard.append, is_sounding=lambda: False, headset=True)
    listener.set_grammar(Grammar(("confirmed", "next"), alike=()))
    voice = VOICE.say("confirmed").astype(np.float64)
    loud = voice[np.abs(voice) > 0.05 * np.abs(voice).max()]
    sound = in_room(silence(4.0), (voice * 3000 / math.sqrt((loud**2).mean())).astype(np.int16), silence(1.5))
    if snr_db is not None:
        machine = np.random.default_rng(5).standard_normal(sound.size) * 3000 * 10 ** (-snr_db / 20)
        sound = np.clip(sound + machine, -32_768, 32_767).astype(np.int16)
    for block in blocks(sound, 1000.0):
        listener.push(block)
    assert [(one.text, one.drowned) for one in heard if one.text] == [("confirmed", drowned)]
