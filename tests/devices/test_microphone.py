"""What is played into the microphone arrives in blocks of 20 ms at 16 kHz, whatever the device itself runs at."""

from __future__ import annotations

import subprocess
import time

import numpy as np
import pytest

from assistant.voice.ports import BLOCK, RATE, Block
from assistant.voice.sound.card import SoundCard
from assistant.voice.sound.ends import CardMicrophone
from tests.devices.pulse import PulseBay, Samples


def sine(hertz: float, seconds: float, rate: int) -> Samples:
    return np.rint(8000 * np.sin(2 * np.pi * hertz * np.arange(round(seconds * rate)) / rate)).astype(np.int16)


def listen(microphone: CardMicrophone, seconds: float) -> list[Block]:
    blocks = []
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        if block := microphone.read(timeout=0.5):
            blocks.append(block)
    return blocks


def listen_to(microphone: CardMicrophone, talk: subprocess.Popen[bytes]) -> list[Block]:
    """Listen until ``talk`` has been played, however late it began on a busy machine, and all of it has arrived."""
    blocks = []
    while talk.poll() is None:
        blocks += listen(microphone, 0.1)
    return blocks + listen(microphone, 0.8)


@pytest.mark.parametrize("device_rates", [(RATE,), (48_000,), (44_100,)], ids=["16 kHz", "48 kHz", "44.1 kHz"])
def test_a_tone_arrives_with_its_pitch_and_length(
    pulse: PulseBay, card: SoundCard, device_rates: tuple[int, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(CardMicrophone, "rates", device_rates)
    microphone = card.microphone("bay_mic")
    talk = pulse.speak(sine(1000, 0.6, 48_000), 48_000)
    blocks = listen_to(microphone, talk)
    assert all(block.samples.shape == (BLOCK,) and block.samples.dtype == np.int16 for block in blocks)
    sound = np.concatenate([block.samples for block in blocks]).astype(float)
    places = np.flatnonzero(np.abs(sound) > 500)
    assert np.ptp(places) / RATE == pytest.approx(0.6, abs=0.02)
    heard = sound[places[0] : places[-1]]
    spectrum = np.abs(np.fft.rfft(heard * np.hanning(heard.size)))
    assert np.argmax(spectrum) * RATE / heard.size == pytest.approx(1000, abs=3)
    assert np.sqrt(np.mean(heard**2)) == pytest.approx(8000 / np.sqrt(2), rel=0.05)


def test_what_no_ear_of_ours_can_hear_does_not_fold_down(
    pulse: PulseBay, card: SoundCard, monkeypatch: pytest.MonkeyPatch
) -> None:
    # 10 kHz lies above half of 16 kHz; sampled carelessly it would whistle at 6 kHz (Nyquist).
    monkeypatch.setattr(CardMicrophone, "rates", (48_000,))
    microphone = card.microphone("bay_mic")
    whistle = sine(10_000, 0.6, 48_000) * np.hanning(28_800)  # swelling and fading: a sudden start is a click
    talk = pulse.speak(np.rint(whistle).astype(np.int16), 48_000)
    sound = np.concatenate([block.samples for block in listen_to(microphone, talk)]).astype(float)
    assert np.abs(sound).max() < 8000 * 10 ** (-40 / 20)


def test_blocks_carry_the_time_of_day_and_come_as_time_goes_by(card: SoundCard) -> None:
    microphone = card.microphone("bay_mic")
    listen(microphone, 0.3)
    ends, behind = [], []
    for _ in range(50):
        if block := microphone.read(timeout=5):
            ends.append(block.ended_at)
            behind.append(time.time() - block.ended_at)
    # The best of fifty, and medians: what else this machine does makes some later.
    assert len(ends) == 50
    assert -0.01 < min(behind) < 0.2
    assert float(np.median(np.diff(ends))) == pytest.approx(BLOCK / RATE, abs=0.01)
    assert ends[-1] - ends[0] == pytest.approx(49 * BLOCK / RATE, abs=0.2)


def test_sound_that_nobody_fetches_is_dropped_and_counted_not_kept_for_ever(
    pulse: PulseBay, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("assistant.voice.sound.ends._QUEUED_MOST", 10)
    counts: list[int] = []
    card = SoundCard(on_overflow=counts.append)
    try:
        microphone = card.microphone("bay_mic")
        deadline = time.monotonic() + 5
        while not counts and time.monotonic() < deadline:
            time.sleep(0.02)
        assert counts
        assert counts[0] == pytest.approx(microphone.lost_pieces, abs=5)
        kept = [microphone.read(timeout=0) for _ in range(9)]
        assert all(block is not None for block in kept)
    finally:
        card.close()


def test_a_closed_microphone_says_that_no_more_will_come(card: SoundCard) -> None:
    microphone = card.microphone("bay_mic")
    assert not microphone.ended
    microphone.close()
    assert microphone.ended
