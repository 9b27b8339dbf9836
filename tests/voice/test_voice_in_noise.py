"""Voices beside machines: what is noticed after minutes of noise, and what stays when the noise cannot be taken out."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence

import numpy as np
import pytest

from assistant.events import Then
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcSuppressor, has_canceller
from assistant.voice.listening import voice_in_noise
from assistant.voice.listening.asked_second import AskedAtOnce, SecondOpinion
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.voice_in_noise import VoiceInNoise
from assistant.voice.ports import BLOCK, RATE, Samples, Written
from assistant.worker import Failure, Failures
from tests.bench.words_noticed import noticed
from tests.fakes.breaking_writer import TellWriter
from tests.fakes.recogniser import TellRecogniser
from tests.fakes.suppressor import BreakingSuppressor, MissingSuppressor
from tests.voice.noises import engine
from tests.voice.people import Person, blocks, silence
from tests.voice.test_second_opinion import GRAMMAR

WORDS = ("next", "yes", "no", "confirmed", "repeat", "yes")
needs_echo = pytest.mark.skipif(not has_canceller(), reason="the extra echo is not installed")
LONG_S = 60.0
APART_S = 4.0


def beside_an_engine() -> tuple[Samples, list[tuple[int, int]]]:
    """Return a minute of an engine, then words beside it that are as loud, and in which blocks each word lies."""
    said = [Person("flite", "rms").say(word) for word in WORDS]
    pieces, spans, at = [silence(LONG_S)], [], round(LONG_S * RATE)
    for word in said:
        spans.append((at // BLOCK, (at + word.size) // BLOCK + 12))
        pieces += [word, silence(APART_S)]
        at += word.size + round(APART_S * RATE)
    speech = np.concatenate(pieces).astype(np.float64)
    loud = np.concatenate(said).astype(np.float64)
    noise = np.resize(engine(20.0, np.random.default_rng(1)), speech.size)
    mixed = speech + noise * np.sqrt(np.mean(loud**2) / np.mean(noise**2))
    return np.clip(np.rint(mixed * 0.5), -32_768, 32_767).astype(np.int16), spans


@pytest.fixture(scope="module")
def noisy() -> tuple[Samples, list[tuple[int, int]]]:
    return beside_an_engine()


def told() -> tuple[list[Failure], Failures]:
    failures: list[Failure] = []
    return failures, Failures("attending", failures.append)


@needs_echo
def test_words_as_loud_as_an_engine_are_noticed_after_a_minute_of_it(noisy: tuple[Samples, list]) -> None:
    failures, count = told()
    found, beside = noticed(VoiceInNoise(count), *noisy)
    assert found == len(WORDS)
    assert beside == 0, "the engine itself is no voice"
    assert failures == []
    assert noticed(SileroDetector(), *noisy)[0] < len(WORDS) / 2, "the detector alone has become deaf: or do without"


@needs_echo
def test_steady_noise_is_taken_out_and_the_voice_is_not() -> None:
    """Less noise, and the voice stays: as Loizou, Speech Enhancement, 2nd ed. 2013, has it (from memory)."""
    noise = np.random.default_rng(1).normal(0, 300, 8 * RATE)
    word = Person("flite", "rms").say("confirmed").astype(np.float64)
    sound = noise.copy()
    sound[6 * RATE : 6 * RATE + word.size] += word
    suppressor = WebrtcSuppressor()
    whole = np.rint(sound).astype(np.int16)
    sizes = [BLOCK, 100, 1, 479]
    cleaned, at = [], 0
    while at < whole.size:
        cleaned.append(suppressor.process(whole[at : at + sizes[len(cleaned) % 4]]))
        at += sizes[(len(cleaned) - 1) % 4]
    clean = np.concatenate(cleaned).astype(np.float64)
    assert clean.size == whole.size // 160 * 160, "nothing is lost, whatever the size of the pieces"
    level = lambda part: 10 * np.log10(np.mean(part**2) + 1e-9)  # noqa: E731
    assert level(sound[4 * RATE : 6 * RATE]) - level(clean[4 * RATE : 6 * RATE]) > 10
    spoken = slice(6 * RATE, 6 * RATE + word.size)
    assert abs(level(sound[spoken]) - level(clean[spoken])) < 3


@needs_echo
def test_the_sound_without_its_noise_is_at_hand_sample_by_sample() -> None:
    _, count = told()
    detector, reference = VoiceInNoise(count), WebrtcSuppressor()
    noise = np.rint(np.random.default_rng(1).normal(0, 300, 6 * RATE)).astype(np.int16)
    assert detector.without_noise(1) is None
    for block in blocks(noise):
        detector.feed(block.samples)
    whole = np.concatenate([reference.process(block.samples) for block in blocks(noise)])
    known = detector.without_noise(RATE + 7)
    assert known is not None
    np.testing.assert_array_equal(known, whole[-RATE - 7 :])
    assert detector.without_noise(noise.size) is None, "only the last seconds are kept"


@needs_echo
def test_a_listener_asks_in_noise_with_the_sound_without_it_below(noisy: tuple[Samples, list]) -> None:
    """As it was heard above, shape (2, n): the same words, and less noise between them."""
    sound, spans = noisy
    asked: list[Samples] = []

    class Takes(TellWriter):
        """Keeps what it was asked about."""

        def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
            asked.append(samples)
            return Written("")

    second = SecondOpinion(AskedAtOnce(Takes, on_failure=[].append), LANGUAGE)
    listener = Listener(TellRecogniser(), [].append, headset=True, second=second)
    listener.set_grammar(GRAMMAR)
    begin = spans[0][0] * BLOCK - 10 * RATE
    for block in blocks(sound[begin : spans[1][1] * BLOCK + RATE]):
        listener.push(block)
    assert asked
    heard, without = asked[0]
    quiet = slice(0, round(0.15 * RATE))
    assert np.mean(without[quiet].astype(float) ** 2) < 0.2 * np.mean(heard[quiet].astype(float) ** 2)


@needs_echo
def test_what_takes_the_noise_out_is_made_anew_and_done_without_once_it_broke_too_often(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(voice_in_noise, "WebrtcSuppressor", BreakingSuppressor)
    failures, count = told()
    detector, plain = VoiceInNoise(count), SileroDetector()
    word = Person("flite", "rms").say("confirmed")
    heard = [(detector.feed(block.samples), plain.feed(block.samples)) for block in blocks(word)]
    assert all(one == other for one, other in heard)
    assert max(one for one, _ in heard) > 0.9, "the voice in the sound as it is"
    assert [failure.then for failure in failures] == [Then.AGAIN, Then.AGAIN, Then.ENDED]


@needs_echo
def test_a_library_that_does_not_load_is_told_once_and_the_sound_is_heard_as_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(voice_in_noise, "WebrtcSuppressor", MissingSuppressor)
    failures, count = told()
    detector = VoiceInNoise(count)
    word = Person("flite", "rms").say("confirmed")
    assert max(detector.feed(word[at : at + BLOCK]) for at in range(0, word.size, BLOCK)) > 0.9
    assert [failure.sentence for failure in failures] == ["It cannot be loaded."]


def test_without_the_extra_the_noise_is_forgotten_all_the_same() -> None:
    """In a process of its own, which cannot see the package."""
    program = (
        "import importlib.util as u; find = u.find_spec\n"
        "u.find_spec = lambda name, *more: None if name.startswith('livekit') else find(name, *more)\n"
        "from assistant.voice.listening.voice_in_noise import VoiceInNoise\n"
        "from assistant.worker import Failures\n"
        "from tests.bench.words_noticed import noticed\n"
        "from tests.voice.test_voice_in_noise import beside_an_engine\n"
        "failures = []\n"
        "print(*noticed(VoiceInNoise(Failures('attending', failures.append)), *beside_an_engine()), failures)"
    )
    told = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True).stdout
    found, beside, failures = told.split(maxsplit=2)
    assert int(found) >= len(WORDS) / 2
    assert (beside, failures.strip()) == ("0", "[]")
