"""``assistant mic-check`` on real sound devices: good ones, and every kind of bad one gets its sentence."""

from __future__ import annotations

import fcntl
import os
import re
import subprocess
import sys
import threading
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.hearing.record import prompts
from assistant.language.en.numbers import parse_number_words
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, RECORD_HZ, PulseBay, Recording
from tests.devices.waiting import until
from tests.voice.people import RATE, Person

pytestmark = [pytest.mark.audio, pytest.mark.timeout(300)]
ROOT = Path(__file__).parents[2]
RMS = Person("flite", "rms")
ASKED = re.compile(r"(?:\w+ of eight\. )?Say: (.*)\.")
ENOUGH = 20
"""Lines of output after which the mechanic says no more."""


def hiss(seconds: float, level_db: float) -> np.ndarray:
    return 32_767 * 10 ** (level_db / 20) * np.random.default_rng(3).standard_normal(round(seconds * RATE))


def hum(seconds: float, level_db: float) -> np.ndarray:
    t = np.arange(round(seconds * RATE)) / RATE
    sound = sum(np.sin(2 * np.pi * 50 * n * t) / n for n in (1, 3, 5))
    return np.asarray(sound / sound.std() * 32_767 * 10 ** (level_db / 20))


def samples(sound: np.ndarray) -> np.ndarray:
    return np.rint(np.clip(sound, -32_768, 32_767)).astype(np.int16)


@contextmanager
def echo(pulse: PulseBay, gain: float) -> Iterator[None]:
    """Let the microphone hear the loudspeaker, as in a room, with this ``gain``."""
    heard = pulse.monitor("loudspeaker")
    room = pulse.speak_raw(RECORD_HZ)
    assert heard.stdout
    assert room.stdin

    # Air keeps no sound back. A pipe does: what waits in it while the other end is not ready yet, or gets no processor,
    # makes every later echo as late. So it holds little, and what does not fit is lost.
    fcntl.fcntl(room.stdin, fcntl.F_SETPIPE_SZ, 16_384)
    os.set_blocking(room.stdin.fileno(), False)

    def carry() -> None:
        while piece := heard.stdout.read1(1920):
            data = np.frombuffer(piece[: len(piece) // 2 * 2], dtype="<i2") * gain
            try:
                os.write(room.stdin.fileno(), data.astype("<i2").tobytes())
            except BlockingIOError:
                continue
            except (BrokenPipeError, ValueError):
                return

    thread = threading.Thread(target=carry, daemon=True)
    thread.start()
    try:
        yield
    finally:
        heard.kill()
        heard.wait()
        room.kill()
        room.wait()
        thread.join(5)


def talk_with(
    pulse: PulseBay, home: Path, room: np.ndarray | None, voice_db: float | None, *words: str
) -> tuple[int, str]:
    """Run a command in a ``room`` with a mechanic who says each phrase so much above or below usual, or not at all."""
    background = pulse.speak(samples(room), RATE) if room is not None else None
    with pulse.recorded() as recording:
        process = subprocess.Popen(
            [sys.executable, "-u", "-m", "assistant", *words, "--microphone", MICROPHONE, "--loudspeaker", LOUDSPEAKER],
            cwd=ROOT, env=os.environ | pulse.environment | {"ASSISTANT_HOME": str(home)}, text=True,
            stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        )  # fmt: skip
        lines: list[str] = []
        assert process.stdout
        for line in process.stdout:
            lines.append(line)
            asked = ASKED.match(line)
            if asked and voice_db is not None and len(lines) < ENOUGH:
                spoken_to(recording)
                pulse.speak(samples(10 ** (voice_db / 20) * RMS.say(asked[1]).astype(float)), RATE)
        code = process.wait(timeout=30)
    if background:
        background.kill()
        background.wait()
    return code, "".join(lines)


def mic_check(pulse: PulseBay, home: Path, room: np.ndarray | None, voice_db: float | None) -> tuple[int, str]:
    return talk_with(pulse, home, room, voice_db, "mic-check")


def spoken_to(recording: Recording) -> None:
    """Wait until the prompt was heard, and then for half a second of silence: a mechanic lets it finish."""
    before, pause = recording.size, RECORD_HZ // 2
    until(lambda: loud(recording.so_far(before)), "the prompt", 20)
    until(lambda: not loud(recording.so_far(recording.size - pause)), "its end", 20)


def loud(sound: np.ndarray) -> bool:
    return bool(sound.size) and int(np.abs(sound.astype(int)).max()) > 60


def test_a_good_headset_is_understood_and_stored(pulse: PulseBay, tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text("# of this bay\nrate = 150\ntail_ms = 400\n")
    code, out = mic_check(pulse, tmp_path, hiss(120, -58), 0.0)
    assert code == 0, out
    told = parse_number_words(re.search(r"I understood (\w+) of eight phrases", out)[1])
    assert told >= 6
    assert "the microphone does not hear me" in out
    stored = tomllib.loads((tmp_path / "settings.toml").read_text())
    assert stored == {
        "rate": 150, "tail_ms": 150, "microphone": MICROPHONE, "loudspeaker": LOUDSPEAKER, "headset": True,
        "over_echo": False,
    }  # fmt: skip
    assert (tmp_path / "settings.toml").read_text().startswith("# of this bay\n")
    # A voice with its peaks at half of full scale, over hiss of -58 dBFS in all bands.
    assert 25 < int(re.search(r"voice over noise +(\d+) dB", out)[1]) < 60


def test_a_loudspeaker_that_is_heard_keeps_the_microphone_closed(pulse: PulseBay, tmp_path: Path) -> None:
    """Closed, or open for whoever speaks over the voice: tests/hearing/test_echo_path.py has when it is which."""
    with echo(pulse, 0.3):
        code, out = mic_check(pulse, tmp_path, hiss(120, -58), 0.0)
        if "Check again in a quiet moment" in out:  # the sound of a busy computer breaks off now and then
            code, out = mic_check(pulse, tmp_path, hiss(120, -58), 0.0)
    assert code == 0, out
    assert re.search(r"own voice +-\d+ dBFS +-?\d+ ms late", out), out
    stored = tomllib.loads((tmp_path / "settings.toml").read_text())
    assert stored["headset"] is False
    assert 150 <= stored["tail_ms"] <= 1500
    assert stored["over_echo"] is ("speak over me at any time" in out)
    if stored["over_echo"]:
        assert int(re.search(r"own voice taken out +(\d+) dB", out)[1]) > 10, out
        assert 0 < stored["echo_delay_ms"] < 500
        assert stored["echo_devices"] == f"{MICROPHONE} > {LOUDSPEAKER}"
    else:
        assert "the microphone stays closed for" in out


def test_a_dead_microphone_is_told_at_once(pulse: PulseBay, tmp_path: Path) -> None:
    code, out = mic_check(pulse, tmp_path, None, None)
    assert code == 5
    assert "The microphone gives no signal" in out
    assert "One of eight" not in out
    assert not (tmp_path / "settings.toml").exists()


def test_a_microphone_that_only_hums_is_told(pulse: PulseBay, tmp_path: Path) -> None:
    code, out = mic_check(pulse, tmp_path, hum(180, -25), None)
    assert code == 5
    assert "gives hum only: check its cable and plug" in out
    assert "Four of eight" not in out
    assert "Nothing is stored" in out
    assert not (tmp_path / "settings.toml").exists()


def test_a_set_of_the_own_voice_is_recorded_and_can_be_measured(pulse: PulseBay, tmp_path: Path) -> None:
    listing = tmp_path / "mine.tsv"
    left = prompts()[:-2]
    (tmp_path / "old.wav").write_bytes(b"")
    # All but two phrases are there already, so only these are asked for.
    lines = [f"old.wav\t{text}\tme\t1.0\n" for text in left * 2]
    listing.write_text("path\tlabel\tspeaker\tseconds\n" + "".join(lines))
    code, out = talk_with(pulse, tmp_path, hiss(90, -58), 0.0, "test-hearing", str(listing), "--record")
    assert code == 0, out
    made = [line.split("\t") for line in listing.read_text().splitlines()[1 + len(lines) :]]
    assert 3 <= len(made) <= 4
    for path, label, speaker, seconds in made:
        assert label in prompts()[-2:]
        assert speaker == "me"
        sound, rate = soundfile.read(tmp_path / path)
        said = RMS.say(label).size / RATE
        assert sound.size / rate == pytest.approx(float(seconds), abs=0.01)
        assert said - 0.1 < sound.size / rate < said + 0.6
