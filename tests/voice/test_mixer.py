"""The stream for the loudspeaker is the same however it is pulled, and a cut in it is short and does not click."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.voice.ports import Samples
from assistant.voice.speaking.mixer import Clip, Mixer

RATE = 16_000


def sine(hertz: float, seconds: float, amplitude: float = 10_000) -> Samples:
    return np.rint(amplitude * np.sin(2 * np.pi * hertz * np.arange(round(seconds * RATE)) / RATE)).astype(np.int16)


@pytest.fixture
def done() -> list[tuple[int, bool]]:
    return []


@pytest.fixture
def mixer(done: list[tuple[int, bool]]) -> Mixer:
    return Mixer(RATE, lambda utterance, completed: done.append((utterance, completed)))


@given(
    clips=st.lists(st.tuples(st.integers(0, 900), st.integers(0, 400)), max_size=5),
    cuts=st.lists(st.integers(1, 700), min_size=1, max_size=12),
    tones=st.lists(st.integers(1, 300), max_size=2),
)
def test_the_stream_does_not_depend_on_how_it_is_pulled(
    clips: list[tuple[int, int]], cuts: list[int], tones: list[int]
) -> None:
    streams = []
    for pieces in ([sum(cuts)], cuts):
        mixer = Mixer(RATE, lambda _utterance, _completed: None)
        for number, (size, gap) in enumerate(clips):
            mixer.play(Clip(np.arange(size, dtype=np.int16) + 1, number, True, gap))
        for size in tones:
            mixer.tone(np.full(size, 7, dtype=np.int16))
        streams.append(np.concatenate([mixer.pull(count) for count in pieces]))
    assert np.array_equal(*streams)


@given(clips=st.lists(st.tuples(st.integers(1, 900), st.integers(0, 400)), min_size=1, max_size=5))
def test_every_sample_of_every_clip_is_played_once_in_order_with_the_pauses_between(
    clips: list[tuple[int, int]],
) -> None:
    mixer = Mixer(RATE, lambda _utterance, _completed: None)
    expected: list[int] = []
    for number, (size, gap) in enumerate(clips):
        mixer.play(Clip(np.full(size, number + 1, dtype=np.int16), number, True, gap))
        expected += [0] * (gap if number else 0) + [number + 1] * size
    assert mixer.left == len(expected)
    assert mixer.pull(len(expected)).tolist() == expected
    assert not mixer.busy


def test_a_cut_is_over_in_ten_milliseconds_and_does_not_click(mixer: Mixer, done: list[tuple[int, bool]]) -> None:
    mixer.play(Clip(sine(200, 2.0), 1, True))
    mixer.play(Clip(sine(200, 2.0), 2, True))
    before = mixer.pull(RATE // 3)
    mixer.cut(2)
    after = mixer.pull(RATE // 2)
    assert np.flatnonzero(after).max() < 0.010 * RATE
    # Without a click no step is steeper than those of the 200 Hz tone itself, plus the slope of the fade.
    steps = np.abs(np.diff(np.concatenate([before, after]).astype(int)))
    assert steps.max() < 2 * np.pi * 200 / RATE * 10_000 + 10_000 / (0.008 * RATE) + 2
    assert done == [(1, False), (2, False)]


def test_what_was_cut_before_it_came_is_not_played(mixer: Mixer, done: list[tuple[int, bool]]) -> None:
    mixer.cut(3)
    mixer.play(Clip(sine(200, 0.1), 3, True))
    mixer.play(Clip(sine(300, 0.1), 4, True))
    assert np.abs(mixer.pull(RATE // 10).astype(int) - sine(300, 0.1)).max() == 0
    assert done == [(3, False), (4, True)]


def test_the_answer_after_a_cut_does_not_wait_for_a_pause(mixer: Mixer) -> None:
    mixer.play(Clip(sine(200, 1.0), 1, True))
    mixer.pull(100)
    mixer.cut(1)
    mixer.play(Clip(np.full(1000, 5000, dtype=np.int16), 2, True, gap=4000))
    assert mixer.pull(400)[200:].tolist() == [5000] * 200  # the first 128 are the old one's fading


def test_a_tone_over_the_loudest_speech_is_bent_not_wrapped_round(mixer: Mixer) -> None:
    mixer.play(Clip(np.full(100, 30_000, dtype=np.int16), 1, True))
    mixer.tone(np.full(100, 30_000, dtype=np.int16))
    assert set(mixer.pull(100).tolist()) == {32_767}


def test_a_tone_is_no_word(mixer: Mixer) -> None:
    mixer.tone(sine(880, 0.2))
    assert (mixer.busy, mixer.speaks, mixer.words_left, mixer.left) == (True, False, 0, 3200)
    mixer.play(Clip(sine(220, 0.1), 1, last=True))
    assert (mixer.speaks, mixer.words_left, mixer.left) == (True, 1600, 3200)
    mixer.pull(1600)
    assert (mixer.busy, mixer.speaks, mixer.words_left, mixer.left) == (True, False, 0, 1600)


def test_a_turn_of_the_volume_does_not_click(mixer: Mixer) -> None:
    mixer.play(Clip(np.full(3000, 10_000, dtype=np.int16), 1, True))
    mixer.pull(320)
    mixer.set_volume(-12)
    turned = mixer.pull(320).astype(int)
    assert np.abs(np.diff(turned)).max() < 50
    # -12 dB is 10 ** (-12 / 20) of the amplitude.
    assert mixer.pull(320)[100] == pytest.approx(2512, abs=2)
