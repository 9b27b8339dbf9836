"""A bay without hardware: null sinks of two private PulseAudio daemons are its microphone and its loudspeaker.

``bay_mic`` is a microphone that tests can talk into, ``bay_speaker`` a loudspeaker that tests can record. PortAudio
sees both through ALSA's pulse plugin. Each device has a daemon of its own: PulseAudio would move the streams of a
device that goes away to any other that it has, and then nothing would be lost. The machine's own sound is not touched:
a process finds this bay only with ``PulseBay.environment`` in its environment.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import threading
import time
import wave
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType

import numpy as np
import numpy.typing as npt

MICROPHONE = "bay_mic"
LOUDSPEAKER = "bay_speaker"
RECORD_HZ = 48_000
_MIC_SINK = "bay_mic_sink"
_SINK_FORMAT = ("rate=48000", "channels=1")
_NEEDED = {
    "setpriv": "util-linux",
    "pulseaudio": "pulseaudio",
    "pactl": "pulseaudio-utils",
    "pacat": "pulseaudio-utils",
}
_ALSA = """
</usr/share/alsa/alsa.conf>
pcm.bay_mic {{ type pulse server "{mic}" device bay_mic hint {{ show on description "Microphone of the bay" }} }}
pcm.bay_speaker {{ type pulse server "{speaker}" device bay_speaker hint {{ show on description "Loudspeaker" }} }}
pcm.!default {{ type asym playback.pcm bay_speaker capture.pcm bay_mic }}
"""
Samples = npt.NDArray[np.int16]


def needed() -> str:
    """Return a sentence that names the Debian packages that are missing; empty when none is."""
    missing = {package for program, package in _NEEDED.items() if shutil.which(program) is None}
    if not any(Path("/usr/lib").glob("*/alsa-lib/libasound_module_pcm_pulse.so")):
        missing.add("libasound2-plugins")
    names = " ".join(sorted(missing))
    return f"The device tests need the Debian packages {names}: say `apt-get install {names}`." if missing else ""


class PulseBay:
    """The two devices, plugged in; leave the ``with`` block to take everything down."""

    def __init__(self, folder: Path) -> None:
        """Keep everything in ``folder``: a fresh one with a short path (a socket's path has at most 107 letters)."""
        self._folder = folder
        self._mic = _Server(folder / "mic")
        self._speaker = _Server(folder / "speaker")
        alsa = folder / "asound.conf"
        alsa.write_text(_ALSA.format(mic=self._mic.address, speaker=self._speaker.address))
        self.environment = {**self._speaker.environment, "ALSA_CONFIG_PATH": str(alsa)}
        """What a process must find in its environment to use this bay (lay it over ``os.environ``)."""

    def __enter__(self) -> PulseBay:
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()

    def start(self) -> None:
        """Start both sound servers and plug both devices in."""
        for server in (self._mic, self._speaker):
            server.start()
        self.plug_in_loudspeaker(wait=False)
        self.plug_in_microphone(wait=False)
        for server in (self._mic, self._speaker):
            server.wait_until_running()

    def stop(self) -> None:
        """Kill both sound servers, as if they had crashed."""
        for server in (self._mic, self._speaker):
            server.stop()

    def hang(self) -> None:
        """Let both sound servers answer nobody any more."""
        for server in (self._mic, self._speaker):
            server.signal(signal.SIGSTOP)

    def go_on(self) -> None:
        """Let them answer again."""
        for server in (self._mic, self._speaker):
            server.signal(signal.SIGCONT)

    def plug_in_microphone(self, *, wait: bool = True) -> None:
        """Make the microphone appear and, unless told otherwise, ``wait`` until it runs."""
        self._mic.load(_MIC_SINK, *_SINK_FORMAT)
        self._mic.pactl(
            "load-module", "module-remap-source", f"source_name={MICROPHONE}", f"master={_MIC_SINK}.monitor"
        )
        if wait:
            self._mic.wait_until_running()

    def unplug_microphone(self) -> None:
        """Make the microphone disappear."""
        self._mic.unload()

    def plug_in_loudspeaker(self, *, wait: bool = True) -> None:
        """Make the loudspeaker appear and, unless told otherwise, ``wait`` until it runs."""
        self._speaker.load(LOUDSPEAKER, *_SINK_FORMAT)
        if wait:
            self._speaker.wait_until_running()

    def unplug_loudspeaker(self) -> None:
        """Make the loudspeaker disappear."""
        self._speaker.unload()

    def speak(self, samples: Samples, rate_hz: int) -> subprocess.Popen[bytes]:
        """Begin to play ``samples``, shape (n,), into the microphone in real time; the process ends with them."""
        path = self._folder / f"talk-{time.monotonic_ns()}.wav"
        with wave.open(str(path), "wb") as file:
            file.setnchannels(1)
            file.setsampwidth(2)
            file.setframerate(rate_hz)
            file.writeframes(samples.astype("<i2").tobytes())
        return self.speak_file(path)

    def speak_file(self, path: Path) -> subprocess.Popen[bytes]:
        """Begin to play the WAV or FLAC file ``path`` into the microphone in real time."""
        return subprocess.Popen(
            ["pacat", "--playback", "--file-format", f"--device={_MIC_SINK}", str(path)],
            env=os.environ | self._mic.environment,
        )

    def speak_raw(self, rate_hz: int) -> subprocess.Popen[bytes]:
        """Play into the microphone what is written to the process's stdin: raw samples, ``rate_hz`` a second."""
        return subprocess.Popen(
            ["pacat", "--playback", "--raw", "--format=s16le", "--channels=1", f"--rate={rate_hz}", "--latency-msec=20",
             f"--device={_MIC_SINK}"],
            env=os.environ | self._mic.environment, stdin=subprocess.PIPE,
        )  # fmt: skip

    def monitor(self, end: str) -> subprocess.Popen[bytes]:
        """Begin to record ``end`` ("microphone" or "loudspeaker"): raw samples at ``RECORD_HZ`` come from stdout."""
        server, sink = {"microphone": (self._mic, _MIC_SINK), "loudspeaker": (self._speaker, LOUDSPEAKER)}[end]
        return subprocess.Popen(
            ["parec", f"--device={sink}.monitor", "--raw", "--format=s16le", "--channels=1",
             f"--rate={RECORD_HZ}", "--latency-msec=10"],
            env=os.environ | server.environment, stdout=subprocess.PIPE,
        )  # fmt: skip

    @contextmanager
    def recorded(self) -> Iterator[Recording]:
        """Record the loudspeaker while the block runs; the samples are in the ``Recording`` afterwards."""
        path = self._folder / f"heard-{time.monotonic_ns()}.raw"
        recording = Recording(path)
        with path.open("wb") as file:
            recorder = subprocess.Popen(
                ["parec", f"--device={LOUDSPEAKER}.monitor", "--raw", "--format=s16le", "--channels=1",
                 f"--rate={RECORD_HZ}", "--latency-msec=10"],
                env=os.environ | self._speaker.environment, stdout=file,
            )  # fmt: skip
            try:
                _wait(lambda: path.stat().st_size > 0, "the recorder to hear the loudspeaker")
                yield recording
            finally:
                recorder.terminate()
                recorder.wait()
        recording.samples = recording.so_far()


class Recording:
    """What the loudspeaker gave: ``samples``, shape (n,), at ``RECORD_HZ``."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self.samples: Samples = np.zeros(0, dtype=np.int16)

    @property
    def size(self) -> int:
        """Return how many samples were recorded until now."""
        return self._path.stat().st_size // 2

    def so_far(self, since: int = 0) -> Samples:
        """Return what was recorded until now from the sample ``since`` on, shape (n,).

        The recorder is a few hundredths of a second behind.
        """
        with self._path.open("rb") as file:
            file.seek(2 * max(0, since))
            data = file.read()
        return np.frombuffer(data[: len(data) // 2 * 2], dtype="<i2").astype(np.int16)


class _Server:
    """One PulseAudio daemon with at most one null sink."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self._socket = folder / "native"
        self._log = folder / "pulseaudio.log"
        self.address = f"unix:{self._socket}"
        places = ("HOME", "XDG_RUNTIME_DIR", "XDG_CONFIG_HOME", "PULSE_RUNTIME_PATH", "PULSE_STATE_PATH")
        self.environment = {**dict.fromkeys(places, str(folder)), "PULSE_SERVER": self.address}
        self._daemon: subprocess.Popen[bytes] | None = None
        self._clock: _Clock | None = None

    def start(self) -> None:
        with self._log.open("ab") as log:  # setpriv: a killed test run must not leave a daemon behind
            self._daemon = subprocess.Popen(
                ["setpriv", "--pdeathsig=KILL", "pulseaudio", "-n", "--daemonize=no",
                 "--exit-idle-time=-1", "--disable-shm=yes", "--use-pid-file=no",
                 "--realtime=no", "--high-priority=no", "--log-level=error",
                 "-L", f"module-native-protocol-unix auth-anonymous=1 socket={self._socket}"],
                env=os.environ | self.environment, stderr=log,
            )  # fmt: skip
        _wait(
            lambda: self._socket.exists() and self._ask("info").returncode == 0,
            f"PulseAudio to start (see {self._log})",
        )

    def stop(self) -> None:
        if self._daemon:
            self._daemon.kill()
            self._daemon.wait()
        self._stop_clock()
        self._socket.unlink(missing_ok=True)

    def signal(self, number: signal.Signals) -> None:
        assert self._daemon
        self._daemon.send_signal(number)

    def load(self, sink: str, *options: str) -> None:
        self.pactl("load-module", "module-null-sink", f"sink_name={sink}", *options)
        # A null sink moves two seconds at a time until someone asks it for less; a sound card does not.
        self._clock = _Clock(f"{sink}.monitor", os.environ | self.environment)

    def unload(self) -> None:
        self.pactl("unload-module", "module-null-sink")
        self._stop_clock()

    def wait_until_running(self) -> None:
        assert self._clock
        if not self._clock.ticking.wait(10):
            raise RuntimeError(f"Waited 10 s for the null sink to run; see {self._log}.")

    def pactl(self, *words: str) -> None:
        answer = self._ask(*words)
        if answer.returncode:
            raise RuntimeError(f"pactl {' '.join(words)} failed: {answer.stderr.strip()}; see {self._log}.")

    def _ask(self, *words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            ["pactl", *words],
            env=os.environ | self.environment,
            capture_output=True,
            text=True,
            timeout=10,
            check=False,
        )

    def _stop_clock(self) -> None:
        if self._clock:
            self._clock.stop()
            self._clock = None


class _Clock:
    """Listens to a monitor and forgets what it hears, so that its sink moves in steps of 10 ms."""

    def __init__(self, monitor: str, environment: dict[str, str]) -> None:
        self.ticking = threading.Event()
        self._process = subprocess.Popen(
            ["parec", f"--device={monitor}", "--raw", "--rate=48000", "--channels=1", "--latency-msec=10"],
            env=environment, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
        )  # fmt: skip
        self._thread = threading.Thread(target=self._forget, daemon=True)
        self._thread.start()

    def _forget(self) -> None:
        assert self._process.stdout
        steps = 0
        while self._process.stdout.read1(4096):
            steps += 1
            if steps > 100:  # past the first long step
                self.ticking.set()

    def stop(self) -> None:
        self._process.kill()
        self._process.wait()
        self._thread.join()
        assert self._process.stdout
        self._process.stdout.close()


def _wait(ready: Callable[[], bool], what: str) -> None:
    until = time.monotonic() + 10
    while not ready():
        if time.monotonic() > until:
            raise RuntimeError(f"Waited 10 s for {what}.")
        time.sleep(0.02)
