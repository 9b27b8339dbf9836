"""A phone as headset beside a sound card: how long sound takes both ways, and how much of a talk is understood.

``python -m tests.bench.phone [--words N]``. The phone is a real Chromium on a real sound server: its microphone and its
loudspeaker are null sinks, as those of the card are, and its page comes over TLS from the address of this machine. So
all is in it but the radio and what a phone's own sound system holds back.

There: a burst is played into the microphone's sink, and the time from its first sample on the sink's recording to the
block with it at the bay (what a listener reads). Back: from the first sample's being asked for to its place on the
loudspeaker's recording. The talk is said by three synthetic voices in a quiet room, each word apart, and all phrases
may be said at any time.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np

from assistant.bay.engines import choose_recogniser
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.events import Clarity, Heard
from assistant.phone.ends import EitherLoudspeaker, EitherMicrophone
from assistant.phone.headset import Headset
from assistant.settings import Settings
from assistant.voice.listening.listener import Listener, ListeningThread
from assistant.voice.ports import Block, Microphone, Samples
from assistant.voice.sound.card import SoundCard
from assistant.voice.speaking.speaker import Sink
from audio_fixtures.make_talks import RATE, speech
from tests.bench.figures import Figure, Tell, load, machine, spread
from tests.bench.latency import WORDS
from tests.bench.live_bay import Bay, Recorder, bay, hiss
from tests.bench.over_echo import everything
from tests.bench.sound_times import reply_start
from tests.devices.pulse import LOUDSPEAKER, MICROPHONE, RECORD_HZ
from tests.devices.waiting import until
from tests.display.browser import chromium
from tests.jobs import ROOT
from tests.phone.browser import phone, waits_for

VOICES = ("rms", "slt", "kal")
BURSTS = 15
LOUD = 3000
PHONE_SINK = "phone_mic"


class Reading:
    """Reads a microphone on a thread of its own, and notes when each block came; ``on_block`` may take its place."""

    def __init__(self, microphone: Microphone) -> None:
        self.blocks: list[tuple[float, Block]] = []
        self._microphone, self._goes_on = microphone, True
        self._thread = threading.Thread(target=self._read, daemon=True)
        self._thread.start()

    def _read(self) -> None:
        while self._goes_on:
            if (block := self._microphone.read(0.2)) is not None:
                self.blocks.append((time.monotonic(), block))

    def first_loud(self, since: float) -> float | None:
        """Return when the first block with the burst came that came after ``since``."""
        found = (
            at for at, block in list(self.blocks) if at > since and int(np.abs(block.samples.astype(int)).max()) > LOUD
        )
        return next(found, None)

    def close(self) -> None:
        self._goes_on = False
        self._thread.join()


def burst() -> Samples:
    """Return a tenth of a second of a tone that begins at once, 48 kHz."""
    return np.rint(16_000 * np.sign(np.sin(2 * np.pi * 500 * np.arange(RECORD_HZ // 10) / RECORD_HZ))).astype(np.int16)


def there(microphone: Microphone, recorder: Recorder, play: Callable[[Samples], object]) -> list[float]:
    """Return the milliseconds from the microphone's sink to whoever reads the microphone, for each burst."""
    took: list[float] = []
    reading = Reading(microphone)
    try:
        until(lambda: bool(reading.blocks), "the microphone", 30)
        for _ in range(BURSTS):
            began = time.monotonic()
            play(np.concatenate([np.zeros(RECORD_HZ // 4, dtype=np.int16), burst()]))
            until(lambda began=began: reading.first_loud(began) is not None, "the burst", 10)
            onset = _onset(recorder, began)
            took.append(1000 * (reading.first_loud(began) - began - onset))
    finally:
        reading.close()
    return took


def _onset(recorder: Recorder, began: float) -> float:
    """Return how many seconds after ``began`` the burst is on the recording; wait for it."""
    for _ in range(100):
        time.sleep(0.1)
        if (onset := reply_start(_over(recorder.between(began, time.monotonic())), RECORD_HZ)) is not None:
            return onset
    raise RuntimeError("the burst is not on the recording")


def _over(samples: Samples) -> Samples:
    """Return ``samples`` without the noise of the room."""
    return np.where(np.abs(samples.astype(int)) > LOUD, samples, 0).astype(np.int16)


def back(loudspeaker: Sink, recorder: Recorder) -> list[float]:
    """Return the milliseconds from a burst's being asked for to its first sample at the loudspeaker's sink."""
    took: list[float] = []
    left = np.zeros(0, dtype=np.int16)
    asked = [0.0]
    wanted = threading.Event()

    def pull(count: int) -> Samples:
        nonlocal left
        if wanted.is_set():
            wanted.clear()
            asked[0], left = time.monotonic(), burst()
        out, left = left[:count], left[count:]
        return np.concatenate([out, np.zeros(count - out.size, dtype=np.int16)])

    loudspeaker.start(pull)
    for _ in range(BURSTS):
        time.sleep(1.0)
        began = time.monotonic()
        wanted.set()
        onset = _onset(recorder, began)
        took.append(1000 * (began + onset - asked[0]))
    return took


def understood(microphone: Microphone, play: Callable[[Samples], object], count: int) -> tuple[int, int, list[str]]:
    """Say ``count`` words of each voice; return how many were understood, of how many, and what became of others."""
    heard: list[Heard] = []
    listener = Listener(choose_recogniser(Settings(), print), heard.append, headset=True)
    listener.set_grammar(everything())
    thread = ListeningThread(microphone, listener, on_failure=print)
    right, others = 0, []
    words = [word for word in dict.fromkeys(WORDS) if "count" not in word][:count]
    try:
        for voice in VOICES:
            for word in words:
                since = len(heard)
                play(np.concatenate([np.zeros(RATE // 3), 0.8 * speech(word, voice), np.zeros(round(1.2 * RATE))]))
                time.sleep(0.3)
                texts = [one.text if one.clarity is Clarity.PHRASE else "..." for one in heard[since:]]
                right += texts == [word]
                others += [] if texts == [word] else [f"{word} ({voice}): {', '.join(texts) or 'nothing'}"]
    finally:
        thread.close()
    return right, len(words) * len(VOICES), others


class Ways:
    """The ways of sound that are compared."""

    def __init__(self, opened: Bay, home: Path, browser: object) -> None:
        self.opened, self.home, self.browser = opened, home, browser
        self._pactl("load-module", "module-null-sink", f"sink_name={PHONE_SINK}", "rate=48000", "channels=1")
        self._pactl("load-module", "module-remap-source", "source_name=phone", f"master={PHONE_SINK}.monitor")
        # What Chromium takes. The new microphone is the server's default now, and moved the recorder of the bay to it.
        os.environ |= {"PULSE_SOURCE": "phone", "PULSE_SINK": LOUDSPEAKER}
        self.loudspeaker = Recorder(opened.pulse.monitor("loudspeaker"))
        self._room = self._pacat(hiss(900), RATE, wait=False)
        self.recorder = Recorder(
            subprocess.Popen(
                ["parec", f"--device={PHONE_SINK}.monitor", "--raw", "--format=s16le", "--channels=1",
                 f"--rate={RECORD_HZ}", "--latency-msec=10"], stdout=subprocess.PIPE,
            )
        )  # fmt: skip

    def _pactl(self, *words: str) -> None:
        subprocess.run(["pactl", *words], check=True, capture_output=True)

    def _pacat(self, samples: Samples, rate_hz: int, *, wait: bool = True) -> subprocess.Popen[bytes] | None:
        path = self.home / f"talk-{time.monotonic_ns()}.raw"
        path.write_bytes(samples.astype("<i2").tobytes())
        playing = subprocess.Popen(
            ["pacat", "--playback", "--raw", "--format=s16le", "--channels=1", f"--rate={rate_hz}",
             f"--device={PHONE_SINK}", str(path)]
        )  # fmt: skip
        if wait:
            playing.wait()
            return None
        return playing

    def to_phone(self, samples: Samples) -> None:
        """Say or play ``samples`` into the phone: floats are words at 16 kHz, 16-bit samples bursts at 48 kHz."""
        is_words = samples.dtype.kind == "f"
        self._pacat(np.rint(32767 * samples).astype(np.int16) if is_words else samples, RATE if is_words else RECORD_HZ)

    def to_card(self, samples: Samples) -> None:
        """The same into the card's microphone."""
        is_words = samples.dtype.kind == "f"
        plain = np.rint(32767 * samples).astype(np.int16) if is_words else samples
        self.opened.pulse.speak(plain, RATE if is_words else RECORD_HZ).wait()

    @contextmanager
    def phone(self, path: str) -> Iterator[Headset]:
        """Let a Chromium be the headset."""
        headset = Headset(time.time)
        display = Display(
            DisplayOptions(_address(), 0, True), procedures=ROOT / "procedures", press=lambda _phrase, _at: True,
            https="beside", phone=headset,
        )  # fmt: skip
        try:
            with phone(self.browser, display, None, path=path) as page:
                page.locator("#headset-button").click()
                waits_for(page, "This phone is the headset.")
                reading = Reading(EitherMicrophone(None, headset))  # a null sink gives seconds at once at first
                until(lambda: sum(at > time.monotonic() - 3 for at, _ in list(reading.blocks)) > 140, "even sound", 90)
                reading.close()
                yield headset
        finally:
            display.close()
            headset.close()

    def close(self) -> None:
        self._room.kill()
        self._room.wait()
        self.recorder.close()
        self.loudspeaker.close()


def _address() -> str:
    import socket

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.connect(("192.0.2.1", 9))  # documentation address (RFC 5737); nothing is sent
        return str(probe.getsockname()[0])


def figures(tell: Tell, words: int = 12) -> list[Figure]:
    """Measure the card, and the phone with either codec."""
    found: list[Figure] = []
    before = os.environ.get("ASSISTANT_HOME")
    with bay() as opened, chromium() as browser, tempfile.TemporaryDirectory() as folder:
        os.environ["ASSISTANT_HOME"] = folder
        ways = Ways(opened, Path(folder), browser)
        card = SoundCard()
        try:
            tell("the sound card")
            microphone, loudspeaker = card.microphone(MICROPHONE), card.loudspeaker(LOUDSPEAKER)
            found += _way(
                "card", tell, microphone, loudspeaker, opened.microphone, ways.loudspeaker, ways.to_card, words
            )  # fmt: skip
            loudspeaker.close()
            for name, path in (("phone, Opus", ""), ("phone, plain", "&codec=pcm")):
                with ways.phone(path) as headset:
                    ends = EitherMicrophone(None, headset), EitherLoudspeaker(None, headset)
                    found += _way(name, tell, *ends, ways.recorder, ways.loudspeaker, ways.to_phone, words)
                    found.append(Figure(f"Pieces lost, {name}", headset.lost_pieces, "pieces of 20 ms"))
        finally:
            card.close()
            ways.close()
            os.environ.pop("ASSISTANT_HOME")
            if before is not None:
                os.environ["ASSISTANT_HOME"] = before
    return found


def _way(
    name: str, tell: Tell, microphone: Microphone, loudspeaker: Sink, recorder: Recorder, spoken: Recorder,
    play: Callable[[Samples], object], words: int,
) -> list[Figure]:  # fmt: skip
    tell(f"{name}: there")
    to_bay = there(microphone, recorder, play)
    tell(f"{name}: back")
    reading = Reading(microphone)  # what nobody reads would be counted as lost
    from_bay = back(loudspeaker, spoken)
    reading.close()
    tell(f"{name}: words")
    right, of, others = understood(microphone, play, words)
    return [
        *spread(f"Mouth to recogniser, {name}", to_bay, "ms", None, None),
        *spread(f"Voice to loudspeaker, {name}", from_bay, "ms", None, None),
        Figure(f"Words understood, {name}", right, f"of {of}", None, "; ".join(others)),
    ]


if __name__ == "__main__":
    ask = argparse.ArgumentParser(prog="python -m tests.bench.phone", description=__doc__)
    ask.add_argument("--words", type=int, default=12, help="words of each voice")
    given = ask.parse_args()
    print(machine(), "load", load())
    for figure in figures(lambda what: print(what, flush=True), given.words):
        print(f"{figure.what:48} {figure.value:8.3g} {figure.unit}  {figure.remark}")
    print("load", load())
