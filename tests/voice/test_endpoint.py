"""Where an utterance begins and ends, in quiet, in noise, and when a compressor starts."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.voice.listening.endpoint import Edge, Endpointer
from assistant.voice.listening.endpointing import QUIETEST_DB, Endpointing, level_db
from assistant.voice.ports import BLOCK, RATE, Block, Samples
from tests.voice.people import blocks, in_room, silence

KNOBS = Endpointing()
TRIED, SHORT, LONG = KNOBS.try_s, KNOBS.short_hang_s, KNOBS.hang_s


def tone(seconds: float, peak_db: float = -20.0, hz: float = 1000.0) -> Samples:
    t = np.arange(round(seconds * RATE)) / RATE
    return np.rint(32_767 * 10 ** (peak_db / 20) * np.sin(2 * np.pi * hz * t)).astype(np.int16)


def hiss(seconds: float, level: float, seed: int = 3) -> Samples:
    return in_room(silence(seconds), floor_db=level, seed=seed)


def utterances(
    samples: Samples, *, settled: bool = False, knobs: Endpointing = KNOBS
) -> list[tuple[float, float, float]]:
    """Return first sound, last sound and time of decision of every utterance [s]."""
    ends, found = Endpointer(knobs), []
    for block in blocks(samples):
        if ends.push(block, settled=lambda _pause: settled) is Edge.END:
            found.append((ends.started_at, ends.ended_at, block.ended_at))
    return found


def test_level_of_a_full_scale_sine_is_minus_three_db() -> None:
    # The root mean square of a sine is its peak over the root of two: 20 log10(1 / sqrt 2) = -3.01 dB.
    assert level_db(tone(0.02, peak_db=0.0)) == pytest.approx(-3.01, abs=0.1)
    assert level_db(tone(0.02, peak_db=-40.0)) == pytest.approx(-43.01, abs=0.2)


def test_hum_below_the_speech_band_hardly_counts() -> None:
    assert level_db(tone(0.02, peak_db=-20.0, hz=50.0)) < level_db(tone(0.02, peak_db=-20.0)) - 20


def test_digital_silence_has_a_level() -> None:
    assert level_db(silence(0.02)) == QUIETEST_DB
    assert level_db(np.zeros(0, dtype=np.int16)) == QUIETEST_DB


@pytest.mark.parametrize(("settled", "hang"), [(True, SHORT), (False, LONG)])
def test_a_word_in_quiet_ends_soon_after_its_last_sound(settled: bool, hang: float) -> None:
    [(began, ended, known)] = utterances(in_room(silence(1), tone(0.5), silence(1)), settled=settled)
    assert began == pytest.approx(1.0, abs=0.04)
    assert ended == pytest.approx(1.5, abs=0.04)
    assert known == pytest.approx(1.5 + hang, abs=0.06)


def test_the_utterance_brings_what_was_before_its_beginning() -> None:
    ends = Endpointer()
    for block in blocks(in_room(silence(1), tone(0.5))):
        if ends.push(block) is Edge.BEGIN:
            first = ends.taken[0].ended_at - BLOCK / RATE
            assert ends.started_at - first == pytest.approx(KNOBS.preroll_s, abs=0.021)
            assert all(b.ended_at - a.ended_at == pytest.approx(0.02) for a, b in pairwise(ends.taken))
            return
    pytest.fail("never began")


def test_words_close_together_are_one_utterance() -> None:
    assert len(utterances(in_room(silence(1), tone(0.3), silence(0.3), tone(0.3), silence(1)))) == 1


def test_a_click_is_no_utterance() -> None:
    assert utterances(in_room(silence(1), tone(0.03), silence(1))) == []


def test_a_steady_hiss_of_any_level_is_silence() -> None:
    for level in (-70.0, -50.0, -30.0):
        assert utterances(hiss(6, level)) == []


def test_a_word_20_db_above_the_noise_is_found() -> None:
    loud = tone(0.5, peak_db=-17.0)  # -20 dB root mean square
    [(began, ended, _)] = utterances(in_room(silence(2), loud, silence(1), floor_db=-40.0))
    assert (began, ended) == (pytest.approx(2.0, abs=0.06), pytest.approx(2.5, abs=0.06))


def test_a_compressor_that_starts_within_a_word_does_not_cut_it() -> None:
    sound = in_room(silence(2), tone(1.0, peak_db=-12.0), silence(4)).astype(np.int32)
    sound[round(2.5 * RATE) :] += hiss(4.5, -40.0)
    [(began, ended, known), *_] = utterances(np.clip(sound, -32_768, 32_767).astype(np.int16))
    assert began == pytest.approx(2.0, abs=0.05)
    assert ended >= 2.95
    assert known < 6.0


def test_long_fluent_speech_is_not_taken_for_the_floor() -> None:
    # Syllables at four a second, as fluent speech has them, without a pause: one utterance to its end.
    syllable = [np.concatenate([tone(0.18, -14.0), tone(0.07, -34.0)]) for _ in range(24)]
    [(began, ended, _)] = utterances(in_room(silence(1), *syllable, silence(1)))
    assert (began, ended) == (pytest.approx(1.0, abs=0.05), pytest.approx(7.0, abs=0.1))


def test_without_a_voice_nothing_begins() -> None:
    ends = Endpointer()
    assert {ends.push(block, 0.4) for block in blocks(in_room(silence(1), tone(1.0), silence(1)))} == {Edge.NONE}


def test_in_noise_the_voice_tells_the_end_and_the_level_does_not_cut_a_word() -> None:
    # A word of 0.6 s only 5 dB above steady noise, with a weak syllable in its middle that the noise hides.
    noise = hiss(4, -40.0).astype(np.int32)
    for at, seconds in ((2.0, 0.2), (2.4, 0.2)):
        word = tone(seconds, peak_db=-32.0)
        noise[round(at * RATE) : round(at * RATE) + word.size] += word
    ends, found = Endpointer(), []
    for block in blocks(noise.astype(np.int16)):
        voice = 0.9 if 2.05 < block.ended_at <= 2.7 else 0.1
        if ends.push(block, voice, lambda _pause: True) is Edge.END:
            found.append((ends.started_at, ends.ended_at, block.ended_at))
    [(began, ended, known)] = found
    assert (began, ended) == (pytest.approx(2.05, abs=0.03), pytest.approx(2.7, abs=0.03))
    assert known == pytest.approx(2.7 + SHORT, abs=0.03)


def fading(level: float, *, settled: bool) -> tuple[list[float], list[float]]:
    """Return when a word ended of which the detector doubts from 2.6 s on and which it no longer hears from 3.1 s on.

    Also the pauses that the recogniser was told of, all in seconds. The word has ``level`` [dBFS], the room -45 dBFS.
    """
    noise = hiss(4, -45.0).astype(np.int32)
    word = tone(1.1, peak_db=level)
    noise[2 * RATE : 2 * RATE + word.size] += word
    ends, known, asked = Endpointer(), [], []
    for block in blocks(noise.astype(np.int16)):
        at = block.ended_at
        voice = 0.95 if 2.0 < at <= 2.6 else 0.6 if 2.6 < at <= 3.1 else 0.1
        if ends.push(block, voice, lambda pause_s: asked.append(pause_s) or settled) is Edge.END:
            known.append(at)
    return known, asked


@pytest.mark.parametrize(
    ("level", "settled", "after"),
    [
        pytest.param(-34.0, True, SHORT, id="a whole phrase in noise is known before the detector is sure of its end"),
        pytest.param(-34.0, False, 0.5 + LONG, id="anything else waits until no voice is there"),
        pytest.param(
            -20.0, True, 0.5 + SHORT, id="in a quieter room only the absence of the voice or the level counts"
        ),
    ],
)
def test_a_voice_that_fades_ends_a_whole_phrase_in_noise_and_nothing_else(
    level: float, settled: bool, after: float
) -> None:
    known, _ = fading(level, settled=settled)
    assert known == [pytest.approx(2.6 + after, abs=0.03)]


def test_while_a_voice_fades_numbers_and_unsure_phrases_are_told_of_the_shortest_pause_alone() -> None:
    _, asked = fading(-34.0, settled=False)
    assert asked[:2] == pytest.approx([TRIED, TRIED + 0.02]), "asked early, to have the answer in time"
    assert asked[2 : 2 + round(0.36 / 0.02)] == [SHORT] * round(0.36 / 0.02)
    assert asked[-1] == pytest.approx(LONG - 0.02)


def test_what_follows_close_on_another_or_was_cut_is_not_alone() -> None:
    def alone(samples: Samples) -> list[bool]:
        ends = Endpointer()
        return [ends.is_alone for block in blocks(samples) if ends.push(block, settled=lambda _pause: True) is Edge.END]

    word = tone(0.4)
    assert alone(in_room(silence(1), word, silence(KNOBS.apart_s + 0.1), word, silence(1))) == [True, True]
    assert alone(in_room(silence(1), word, silence(SHORT + 0.04), word, silence(1))) == [True, False]
    rough = np.concatenate([tone(0.15, -10.0 if n % 2 else -30.0) for n in range(100)])
    assert alone(in_room(silence(1), rough, silence(1))) == [False, False]


def test_no_utterance_is_longer_than_the_longest() -> None:
    rough = np.concatenate([tone(0.15, -10.0 if n % 2 else -30.0) for n in range(160)])
    for began, ended, _ in utterances(in_room(silence(1), rough)):
        assert ended - began <= KNOBS.longest_s + 1e-6


@given(
    st.lists(st.sampled_from([-90, -60, -45, -30, -10, 0]), min_size=1, max_size=400),
    st.booleans(),
    st.sampled_from([0.0, 0.4, 1.0]),
)
def test_every_utterance_begins_goes_on_and_ends(levels: list[int], settled: bool, voice: float) -> None:
    ends, is_open = Endpointer(), False
    for number, level in enumerate(levels):
        edge = ends.push(Block(tone(0.02, float(level)), number * 0.02), voice, lambda _pause: settled)
        assert edge in ({Edge.MORE, Edge.END} if is_open else {Edge.NONE, Edge.BEGIN})
        is_open = edge in {Edge.BEGIN, Edge.MORE}
        assert ends.is_open is is_open
        assert ends.started_at <= ends.ended_at
