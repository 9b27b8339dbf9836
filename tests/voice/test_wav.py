"""A recording as a microphone: every common kind of file, and one clear sentence for what is none."""

from __future__ import annotations

import os
import struct
import wave
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.voice.adapters.wav import WavLoudspeaker, WavMicrophone
from assistant.voice.ports import BLOCK, RATE, Samples, VoiceFault

HZ = 1000.0


def sine(rate_hz: int, seconds: float = 1.0, peak: float = 0.5) -> np.ndarray:
    return peak * np.sin(2 * np.pi * HZ * np.arange(round(seconds * rate_hz)) / rate_hz)


def everything(microphone: WavMicrophone) -> Samples:
    pieces = []
    while (block := microphone.read(0.0)) is not None:
        assert block.samples.shape == (BLOCK,)
        assert block.samples.dtype == np.int16
        pieces.append(block.samples)
    assert microphone.ended
    return np.concatenate(pieces)


def strongest_hz(samples: Samples) -> float:
    return float(np.argmax(np.abs(np.fft.rfft(samples * np.hanning(samples.size)))) * RATE / samples.size)


@pytest.mark.parametrize("rate_hz", [8_000, 11_025, 16_000, 22_050, 44_100, 48_000])
@pytest.mark.parametrize("kind", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE"])
@pytest.mark.parametrize("channels", [1, 2])
def test_any_wav_is_heard_at_its_pitch_level_and_length(tmp_path: Path, rate_hz: int, kind: str, channels: int) -> None:
    path = tmp_path / "talk.wav"
    soundfile.write(path, np.repeat(sine(rate_hz)[:, None], channels, axis=1), rate_hz, subtype=kind)
    heard = everything(WavMicrophone(path))
    assert strongest_hz(heard) == pytest.approx(HZ, abs=2.0)
    assert heard.size / RATE == pytest.approx(1.0, abs=0.03)
    # A sine of half the full scale: its root mean square is 16384 over the root of two.
    assert np.sqrt(np.mean(np.square(heard[2000:-2000].astype(float)))) == pytest.approx(11_585, rel=0.02)


def test_flac_is_heard_too(tmp_path: Path) -> None:
    path = tmp_path / "talk.flac"
    soundfile.write(path, sine(44_100), 44_100)
    assert strongest_hz(everything(WavMicrophone(path))) == pytest.approx(HZ, abs=2.0)


def test_what_the_standard_library_writes_comes_back_sample_by_sample(tmp_path: Path) -> None:
    path = tmp_path / "talk.wav"
    samples = np.random.default_rng(1).integers(-20_000, 20_000, BLOCK * 50).astype("<i2")
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes(samples.tobytes())
    assert np.array_equal(everything(WavMicrophone(path)), samples)


def test_the_last_block_is_filled_up_and_times_go_on_through_a_hold(tmp_path: Path) -> None:
    path = tmp_path / "talk.wav"
    soundfile.write(path, np.full(BLOCK + 10, 0.5), RATE, subtype="PCM_16")
    microphone = WavMicrophone(path, started_at=100.0)
    first = microphone.read(0.0)
    microphone.hold(2.5)
    last = microphone.read(0.0)
    assert first is not None
    assert last is not None
    assert first.ended_at == pytest.approx(100.02)
    assert last.ended_at == pytest.approx(102.54)
    assert not last.samples[10:].any()
    assert microphone.read(0.0) is None
    assert microphone.ended


def test_a_closed_recording_gives_nothing(tmp_path: Path) -> None:
    path = tmp_path / "talk.wav"
    soundfile.write(path, sine(RATE), RATE)
    microphone = WavMicrophone(path)
    microphone.close()
    assert microphone.read(0.0) is None
    assert microphone.ended


def broken_wav(data: bytes, promised: int | None = None) -> bytes:
    body = b"WAVEfmt " + struct.pack("<IHHIIHH", 16, 1, 1, RATE, 2 * RATE, 2, 16) + b"data"
    body += struct.pack("<I", len(data) if promised is None else promised) + data
    size = len(body) if promised is None else len(body) - len(data) + promised
    return b"RIFF" + struct.pack("<I", size) + body


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("empty.wav", b"", "is empty"),
        ("text.wav", b"this is not a sound at all, but text", "is not a recording"),
        ("head.wav", b"RIFF", "is not a recording"),
        ("noise.wav", bytes(range(256)) * 40, "is not a recording"),
        ("short.wav", broken_wav(b"\1\2" * 100, promised=4000), "is cut short"),
        ("silent.wav", broken_wav(b""), "holds no sound"),
    ],
)
def test_what_is_no_recording_gets_one_sentence(tmp_path: Path, name: str, content: bytes, sentence: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(VoiceFault) as caught:
        WavMicrophone(path)
    said = caught.value.sentence
    assert sentence in said
    assert str(path) in said
    assert ": " in said
    assert said.endswith(".")
    assert "\n" not in said


def test_a_missing_file_a_folder_and_a_strange_rate_get_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(VoiceFault, match="There is no recording"):
        WavMicrophone(tmp_path / "none.wav")
    with pytest.raises(VoiceFault, match="is a folder"):
        WavMicrophone(tmp_path)
    slow = tmp_path / "slow.wav"
    soundfile.write(slow, sine(RATE), 4_000)
    with pytest.raises(VoiceFault, match="4000 samples per second"):
        WavMicrophone(slow)
    soundfile.write(tmp_path / "long.flac", sine(RATE), 8_000)
    long = bytearray((tmp_path / "long.flac").read_bytes())
    long[21:26] = bytes([long[21] | 0x0F, 0xFF, 0xFF, 0xFF, 0xFF])  # the 36 bits that count its samples (RFC 9639, 8.2)
    (tmp_path / "long.flac").write_bytes(long)
    with pytest.raises(VoiceFault, match="longer than a day"):
        WavMicrophone(tmp_path / "long.flac")


def test_a_wav_from_a_pipe_with_no_size_in_its_head_is_heard(tmp_path: Path) -> None:
    path = tmp_path / "pipe.wav"
    data = (sine(RATE) * 32_767).astype("<i2").tobytes()
    content = bytearray(broken_wav(data))
    content[4:8] = content[40:44] = b"\xff\xff\xff\xff"
    path.write_bytes(content)
    assert strongest_hz(everything(WavMicrophone(path))) == pytest.approx(HZ, abs=2.0)


def test_numbers_that_are_no_numbers_are_silence(tmp_path: Path) -> None:
    path = tmp_path / "nan.wav"
    samples = np.full(RATE, np.nan, dtype=np.float32)
    soundfile.write(path, samples, RATE, subtype="FLOAT")
    assert not everything(WavMicrophone(path)).any()


def test_what_is_played_is_in_the_file_at_its_time(tmp_path: Path) -> None:
    path = tmp_path / "new" / "spoken.wav"
    speaker = WavLoudspeaker(path, started_at=50.0)
    loud = np.full(RATE // 10, 1000, dtype=np.int16)
    assert speaker.play(loud, at=50.5) == pytest.approx(50.6)
    assert speaker.play(loud, at=50.2) == pytest.approx(50.7)  # late: it follows what was being said
    assert speaker.play(loud, at=51.0) == pytest.approx(51.1)
    speaker.close()
    with wave.open(str(path), "rb") as written:
        assert (written.getnchannels(), written.getsampwidth(), written.getframerate()) == (1, 2, RATE)
        samples = np.frombuffer(written.readframes(written.getnframes()), dtype="<i2")
    assert samples.size == round(1.1 * RATE)
    sounding = np.flatnonzero(samples) / RATE
    assert sounding[0] == pytest.approx(0.5, abs=1e-3)
    assert np.count_nonzero(samples) == 3 * loud.size


@pytest.mark.skipif(os.name != "posix", reason="needs a folder that is a device")
def test_a_file_that_cannot_be_written_gets_one_sentence() -> None:
    with pytest.raises(VoiceFault, match="cannot be written"):
        WavLoudspeaker(Path("/proc/none/spoken.wav"))
