"""Text becomes speech: without a wait before it, at the rate asked for, as loud as the last sentence."""

from __future__ import annotations

import io
import os
import socket
import subprocess
import sys
import threading
import wave
from collections.abc import Callable

import numpy as np
import pytest

from assistant.voice.adapters.hibari import NaturalSynthesiser
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.ports import Samples, Synthesiser, VoiceFault

pytestmark = pytest.mark.audio

SENTENCE = "Bolts nine to fourteen. Thirty-two newton metres."
RATE = 16_000


@pytest.fixture(scope="module", params=[Pyttsx3Synthesiser, NaturalSynthesiser], ids=["pyttsx3", "natural"])
def synthesiser(request: pytest.FixtureRequest) -> Synthesiser:
    made: Callable[[], Synthesiser] = request.param
    return made()


def of_the_engine(text: str, rate: int) -> tuple[Samples, int]:
    """Return what the espeak-ng program itself makes of ``text``, and its sampling rate."""
    sound = subprocess.run(
        ["espeak-ng", "-v", "en-us", "-s", str(rate), "--stdout", text], capture_output=True, check=True
    ).stdout
    with wave.open(io.BytesIO(sound)) as file:
        return np.frombuffer(file.readframes(1 << 24), dtype=np.int16), file.getframerate()


def loudness(samples: Samples, rate_hz: int) -> np.ndarray:
    """Return the level of each 20 ms from the first sound on; the engine breathes a little noise, never twice alike."""
    heard = samples[np.flatnonzero(np.abs(samples.astype(int)) > np.abs(samples.astype(int)).max() / 50)[0] :]
    step = rate_hz // 50
    frames = heard[: heard.size // step * step].astype(float).reshape(-1, step)
    return np.sqrt(np.mean(frames**2, axis=1))


def alike(one: np.ndarray, other: np.ndarray) -> float:
    """Return how alike two courses of level are, laid over each other as well as a shift of 100 ms each way allows.

    Where the first sound begins is a matter of the noise before it.
    """
    return max(_correlation(one[max(0, -by) :], other[max(0, by) :]) for by in range(-5, 6))


def _correlation(one: np.ndarray, other: np.ndarray) -> float:
    size = min(one.size, other.size)
    return float(np.corrcoef(one[:size], other[:size])[0, 1])


def test_it_says_what_the_engine_itself_says() -> None:
    # Reference: the espeak-ng program. Apart from the silence that we cut off and the level, both must be one sentence.
    theirs, rate_hz = of_the_engine(SENTENCE, 165)
    voice = Pyttsx3Synthesiser("en-us")
    # Its noise is never twice alike and now and then stretches a breath, so one of three must be the same sentence.
    ours = [voice.render(SENTENCE, rate=165, rate_hz=rate_hz) for _ in range(3)]
    assert max(one.size for one in ours) < theirs.size
    assert max(alike(loudness(one, rate_hz), loudness(theirs, rate_hz)) for one in ours) > 0.9
    something_else = voice.render("Is the dowel in its place on both sides?", rate=165, rate_hz=rate_hz)
    assert alike(loudness(something_else, rate_hz), loudness(theirs, rate_hz)) < 0.5


@pytest.mark.parametrize("rate", [120, 165, 240])
def test_the_rate_is_the_engine_s_words_per_minute(rate: int) -> None:
    theirs, rate_hz = of_the_engine(SENTENCE, rate)
    places = np.flatnonzero(np.abs(theirs.astype(int)) > 50)
    ours = Pyttsx3Synthesiser("en-us").render(SENTENCE, rate=rate, rate_hz=rate_hz)
    # Ours is longer by the breath at both ends, which is never twice alike: 1.7 % usually, once 3.2 %.
    assert ours.size == pytest.approx(np.ptp(places), rel=0.05)


def test_the_first_sound_comes_at_once_and_nothing_trails_behind(synthesiser: Synthesiser) -> None:
    samples = np.abs(synthesiser.render(SENTENCE, rate=165, rate_hz=RATE).astype(int))
    heard = np.flatnonzero(samples > samples.max() / 100)  # 40 dB below the loudest
    assert heard[0] / RATE < 0.040
    assert (samples.size - heard[-1]) / RATE < 0.100


def test_twice_the_rate_is_about_half_as_long(synthesiser: Synthesiser) -> None:
    slow = synthesiser.render(SENTENCE, rate=120, rate_hz=RATE).size
    fast = synthesiser.render(SENTENCE, rate=240, rate_hz=RATE).size
    assert slow / fast == pytest.approx(2, rel=0.15)


@pytest.mark.parametrize("rate_hz", [16_000, 44_100, 48_000])
def test_it_lasts_as_long_at_every_sampling_rate(synthesiser: Synthesiser, rate_hz: int) -> None:
    reference = synthesiser.render(SENTENCE, rate=165, rate_hz=22_050).size / 22_050
    assert synthesiser.render(SENTENCE, rate=165, rate_hz=rate_hz).size / rate_hz == pytest.approx(reference, rel=0.02)


def test_sentences_are_about_equally_loud_and_never_clipped(synthesiser: Synthesiser) -> None:
    peaks = [
        int(np.abs(synthesiser.render(text, rate=165, rate_hz=RATE).astype(int)).max())
        for text in ("Next.", "Say again.", SENTENCE, "Is the seal in place?")
    ]
    assert max(peaks) < 32_000
    assert 20 * np.log10(max(peaks) / min(peaks)) < 6


@pytest.mark.parametrize("text", ["", "   ", "...", "—", "?!"])
def test_what_has_no_word_has_no_sound(synthesiser: Synthesiser, text: str) -> None:
    assert synthesiser.render(text, rate=165, rate_hz=RATE).size == 0


@pytest.mark.parametrize(
    "text", ["<speak>one</speak>", "[[h@'loU]]", "naïve – café", "one\0two", "a" * 2000, "\N{WRENCH} ok"]
)
def test_odd_text_is_spoken_and_breaks_nothing(synthesiser: Synthesiser, text: str) -> None:
    assert synthesiser.render(text, rate=400, rate_hz=RATE).size > 0
    assert synthesiser.render("Next.", rate=165, rate_hz=RATE).size > 0


def test_two_voices_side_by_side_do_not_mix() -> None:
    # The engine keeps one state for the whole process; each voice must still be itself, on any thread.
    first, second = Pyttsx3Synthesiser("en-us"), Pyttsx3Synthesiser("en-gb-x-rp")
    alone = [voice.render(SENTENCE, rate=rate, rate_hz=RATE).size for voice, rate in ((first, 120), (second, 240))]
    together: list[list[int]] = [[], []]

    def work(index: int, voice: Pyttsx3Synthesiser, rate: int) -> None:
        together[index] = [voice.render(SENTENCE, rate=rate, rate_hz=RATE).size for _ in range(10)]

    threads = [
        threading.Thread(target=work, args=(0, first, 120)),
        threading.Thread(target=work, args=(1, second, 240)),
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for index in (0, 1):
        assert together[index] == pytest.approx([alone[index]] * 10, rel=0.01)


def test_rendering_prints_nothing(capfd: pytest.CaptureFixture[str], synthesiser: Synthesiser) -> None:
    synthesiser.render("A sentence of its own.", rate=165, rate_hz=RATE)
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("wanted", "sentence"),
    [
        ("klingon", 'There is no voice "klingon"; the English ones are en, en-029, en-gb-scotland'),
        ("us-mbrola-1", 'There is no voice "us-mbrola-1"; the English ones are'),
        ("English", '"English" fits several voices (en, en-029, en-gb-scotland'),
    ],
)
def test_a_voice_that_cannot_be_had(wanted: str, sentence: str) -> None:
    with pytest.raises(VoiceFault) as fault:
        Pyttsx3Synthesiser(wanted)
    assert fault.value.sentence.startswith(sentence)


@pytest.mark.parametrize(
    ("wanted", "voice"),
    [
        ("", "gmw/en-us"),
        ("en-gb-x-rp", "gmw/en-gb-x-rp"),
        ("en-gb", "gmw/en"),
        ("scotland", "gmw/en-gb-scotland"),
        ("en-us+f3", "gmw/en-us+f3"),
    ],
)
def test_a_voice_is_chosen_by_its_id_or_a_part_of_its_name(wanted: str, voice: str) -> None:
    assert Pyttsx3Synthesiser(wanted).voice == voice


def test_a_computer_without_the_engine() -> None:
    # Where espeak-ng is not installed, its library cannot be loaded; here the loader refuses it.
    program = (
        "import ctypes\n"
        "def refuse(name): raise OSError(name)\n"
        "ctypes.cdll.LoadLibrary = refuse\n"
        "from assistant.voice.ports import VoiceFault\n"
        "from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser\n"
        "try:\n    Pyttsx3Synthesiser()\nexcept VoiceFault as fault:\n    print(fault.sentence)\n"
    )
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, env=os.environ)
    assert answer.stdout.startswith("The speech engine espeak-ng is not installed; install the Debian packages")
    assert answer.stderr == ""


def test_the_natural_voice_never_goes_to_the_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_args: object, **_names: object) -> None:
        raise AssertionError("the network was asked")

    monkeypatch.setattr(socket, "socket", refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)
    assert NaturalSynthesiser().render("Next.", rate=165, rate_hz=RATE).size > 0
    with pytest.raises(VoiceFault, match='The natural voice "emma" is not on this computer; copy its file to'):
        NaturalSynthesiser("emma")
    with pytest.raises(VoiceFault, match='There is no natural voice "nobody"; on this computer there are heart'):
        NaturalSynthesiser("nobody")
