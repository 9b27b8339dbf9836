"""Which way of listening ``mic-check`` stores for a bay: rooms from their physics, real canceller, no sound card."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Callable

import numpy as np
import pytest

from assistant.hearing.booth import Played
from assistant.hearing.echo_path import EchoTaken, Mode, cancelled, mode_of
from assistant.hearing.mic_check import Found, _cancelled, _stored, advise, tail_ms
from assistant.hearing.mic_sound import Echo, find_echo, noise_db, stands_out
from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcCanceller, has_canceller
from assistant.voice.listening.over_echo import LostBy
from assistant.voice.listening.over_room import listen_over
from assistant.voice.ports import RATE, Block
from tests.voice.echo_bay import Path
from tests.voice.people import Person, blocks

LATENCY_S = 0.05
NOISE_DB = -60.0
needs_canceller = pytest.mark.skipif(not has_canceller(), reason="the extra echo is not installed")
Heard = tuple[list[Block], list[Played], float]


def overheard(path: Path, more: Callable[[int], np.ndarray] | None = None) -> Heard:
    """Return what a booth in a room with this ``path`` hears of its own voice, given, and when that ended."""
    voice = (Person("espeak-ng", "en-gb").say(LANGUAGE.equipment.own_voice()) * 0.6).astype(np.int16)
    played = [
        Played(voice[at : at + 512], RATE, 101.0 + LATENCY_S + at / RATE) for at in range(0, voice.size, 512)
    ]  # fmt: skip
    sound = np.concatenate([np.zeros(RATE), voice / 32_768, np.zeros(2 * RATE)])
    from scipy.signal import fftconvolve

    back = fftconvolve(np.tanh(path.drive * sound) / np.tanh(path.drive) if path.drive else sound, path.response())
    heard = 32_768 * back[: sound.size]
    heard += 32_768 * 10 ** (NOISE_DB / 20) * np.random.default_rng(1).standard_normal(sound.size)
    heard += more(sound.size) if more else 0.0
    samples = np.clip(np.rint(heard), -32_768, 32_767).astype(np.int16)
    return blocks(samples, 100.0), played, 101.0 + LATENCY_S + voice.size / RATE


def found_in(heard: Heard) -> Found:
    given, played, silent_at = heard
    own = find_echo(given, played, silent_at, NOISE_DB)
    is_doubtful = own is None and stands_out(given, NOISE_DB)
    clean = _cancelled(given, played, own, LATENCY_S)
    return Found(NOISE_DB, 0.0, own, [], 8, clean, 0.1, "a > b", is_doubtful)


@needs_canceller
@pytest.mark.audio
@pytest.mark.parametrize(
    "path", [Path(0.06, -12.0), Path(0.12, -6.0, drive=1.0), Path(0.3, -3.0, 0.5, 3.0)], ids=["near", "usual", "late"]
)
def test_a_voice_that_can_be_taken_out_can_be_spoken_over(path: Path) -> None:
    found = found_in(overheard(path))
    assert found.echo.delay_s == pytest.approx(path.delay_s - LATENCY_S, abs=0.03)
    assert found.mode is Mode.OVER
    assert found.clean.taken_db > 10


@needs_canceller
@pytest.mark.audio
def test_a_voice_that_comes_by_another_way_each_moment_keeps_the_microphone_closed() -> None:
    given, played, _silent_at = overheard(Path(0.1, -3.0))
    ways = [overheard(Path(0.05 + 0.02 * number, -3.0, 0.5, seed=number))[0] for number in range(9)]
    mixed = [ways[number // 12 % 9][number] for number in range(len(given))]  # four times a second another one
    clean = cancelled(mixed, played, 0.1, LATENCY_S, WebrtcCanceller(), (SileroDetector(), SileroDetector()))
    assert not clean.is_known
    assert mode_of(Echo(-30.0, 0.1, 0.2), clean, is_doubtful=False) is Mode.CLOSED


@pytest.mark.audio
def test_a_microphone_that_does_not_hear_it_is_a_headset() -> None:
    found = found_in(overheard(Path(0.06, -90.0)))
    assert (found.echo, found.mode, tail_ms(found)) == (None, Mode.HEADSET, 150)


def test_a_voice_that_comes_later_than_is_looked_for_is_no_headset() -> None:
    # It sounded, and nothing tells that it was not the own voice: so the microphone is closed, as long as it can be.
    found = found_in(overheard(Path(1.3, -6.0)))
    assert found.echo is None
    assert (found.mode, tail_ms(found)) == (Mode.CLOSED, 1500)
    assert any("I cannot tell whether the microphone hears me" in sentence for sentence in advise(found))


def test_noise_that_goes_on_as_it_was_is_no_doubt() -> None:
    def hammer(size: int) -> np.ndarray:
        random, sound = np.random.default_rng(2), np.zeros(size)
        for at in range(0, size - 1600, RATE // 3):
            sound[at : at + 1600] += 3000 * random.standard_normal(1600) * np.exp(-np.arange(1600) / 200)
        return sound

    given, _, _ = overheard(Path(0.06, -90.0), hammer)
    assert not stands_out(given, noise_db(np.concatenate([block.samples for block in given])))


def test_without_the_extra_the_microphone_stays_closed_and_it_is_told(monkeypatch, tmp_path, capsys) -> None:
    monkeypatch.setitem(sys.modules, "livekit", None)  # as if it were not installed
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    assert not has_canceller()
    found = found_in(overheard(Path(0.12, -6.0)))
    assert found.mode is Mode.CLOSED
    assert "pip install 'step-assistant[echo]'" in capsys.readouterr().out
    assert "the microphone stays closed" in _stored(found, Settings())
    stored = tomllib.loads((tmp_path / "settings.toml").read_text())
    assert (stored["over_echo"], stored["headset"]) == (False, False)


class Named:
    name = "usb"


@pytest.mark.parametrize(
    ("measured", "extra", "why"), [("usb > usb", False, LostBy.MISSING), ("usb > other", True, LostBy.DEVICES)]
)
def test_a_bay_that_cannot_take_its_voice_out_says_why_and_plays_as_before(monkeypatch, measured, extra, why) -> None:
    if not extra:
        monkeypatch.setitem(sys.modules, "livekit", None)
    told: list[LostBy] = []
    loudspeaker = Named()
    over, plays = listen_over(Named(), loudspeaker, 0.1, measured, lambda: 0.0, told.append)
    assert (over, told) == (None, [why])
    assert plays is loudspeaker


def test_what_is_stored_is_what_was_measured(monkeypatch, tmp_path) -> None:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    found = Found(NOISE_DB, 0.0, Echo(-30.0, 0.1, 0.2), [], 8, EchoTaken(30.0, is_known=True), 0.15, "a > b")
    assert "speak over me at any time" in _stored(found, Settings())
    stored = tomllib.loads((tmp_path / "settings.toml").read_text())
    assert (stored["over_echo"], stored["echo_delay_ms"], stored["echo_devices"]) == (True, 150, "a > b")
