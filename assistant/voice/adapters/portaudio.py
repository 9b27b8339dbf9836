"""The sound card through PortAudio. The one adapter of sounddevice.

PortAudio knows the devices that were there when it was initialised; ``refresh`` looks again, and may be called only
while no stream is open.
"""

from __future__ import annotations

import atexit
import contextlib
import os
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any, TextIO

import numpy as np

from assistant.clock import SteadyClock
from assistant.events import End
from assistant.voice.ports import Samples, VoiceFault
from assistant.voice.sound.devices import Device
from assistant.worker import Worker

NO_LIBRARY = (
    "The sound library PortAudio is not installed; install the Debian package libportaudio2 "
    "(sudo apt-get install libportaudio2), then list the devices with `assistant devices`."
)
_LET_GO_S = 2.0
IN_BLOCK_S = 0.020
OUT_BLOCK_S = 0.010
LATENCY_S = 0.040
"""What the device may hold back: less would crackle on a busy computer, more would make speech slow to cut."""
_STALE_S = 1.0
"""A stream that does not call for this long has lost its device, in seconds."""
_WAKING_S = 4.0
"""For how long after its start a stream may pause: sound servers and wireless devices wake slowly."""
_FLOWING_CALLS = 20
"""After how many calls a stream flows: a sound server asks for its first few buffers even if nothing plays them."""


class OpenStream:
    """A stream in one direction; silent until ``start``."""

    def __init__(self, stream: Any, rate_hz: int, told: _Told, calls: _Calls) -> None:
        self.rate_hz = rate_hz
        self.latency_s = float(stream.latency)
        """Seconds that a sample spends between the program and the air."""
        self._stream = stream
        self._told = told
        self._calls = calls
        self._started_at = 0.0

    def start(self) -> None:
        """Begin.

        Raises:
            VoiceFault: the device is busy or broken.
        """
        self._started_at = time.monotonic()
        with self._told:
            self._stream.start()

    @property
    def alive(self) -> bool:
        """Whether the device is there and calls."""
        due = max(self._calls.last_at + _STALE_S, self._started_at + _WAKING_S)
        return bool(self._stream.active) and time.monotonic() < due

    @property
    def flowing(self) -> bool:
        """Whether sound really flows: it has called more often than to fill its buffers."""
        return self._calls.count >= _FLOWING_CALLS

    @property
    def flagged(self) -> int:
        """How often the device said that samples were lost (input) or missing (output)."""
        return self._calls.flagged

    def discard(self) -> bool:
        """Stop at once and free the device; return False when the system does not let go of it within two seconds."""

        def let_go(_go_on: Callable[[], bool]) -> None:
            # A device that is gone may refuse every order: there is nothing more to do about it than to let it be.
            for act in (self._stream.abort, self._stream.close):
                with contextlib.suppress(Exception):
                    act()

        worker = Worker("letting_go", let_go, on_failure=lambda _failure: None)
        worker.start()
        return worker.close(_LET_GO_S)


class _Calls:
    """What the audio thread notes of its calls: the time of the last (monotonic clock), how many, how many flagged."""

    def __init__(self) -> None:
        self.last_at = 0.0
        self.count = 0
        self.flagged = 0

    def note(self, status: object) -> None:
        self.last_at = time.monotonic()
        self.count += 1
        if status:
            self.flagged += 1


class PortAudio:
    """The sound library while it is in use. What it and its drivers print is kept off the terminal until ``close``."""

    def __init__(self, *, clock: Callable[[], float] | None = None, library: Any = None) -> None:
        """Load the library, or take ``library``; ``clock`` tells the times of what is heard [s since the epoch].

        Raises:
            VoiceFault: it is not installed.
        """
        self._clock = clock or SteadyClock().now
        self._library = library or _load()
        self._quiet = _QuietDrivers()

    def close(self, *, stuck: bool = False) -> None:
        """Give the terminal back to the drivers. Close all streams before; ``stuck`` when one could not be.

        The library would wait for such a stream at the end of the process, and the process for the library.
        """
        if stuck:
            atexit.unregister(self._library._exit_handler)
        self._quiet.close()

    def devices(self) -> list[Device]:
        """Return the devices that were there when the library was last refreshed."""
        hosts = self._library.query_hostapis()
        chosen = {kind: self._chosen(kind) for kind in ("input", "output")}
        found = []
        for number, entry in enumerate(self._library.query_devices()):
            found.append(
                Device(
                    index=number,
                    name=str(entry["name"]),
                    host=str(hosts[entry["hostapi"]]["name"]),
                    inputs=int(entry["max_input_channels"]),
                    outputs=int(entry["max_output_channels"]),
                    rate_hz=int(entry["default_samplerate"]),
                    default_input=number == chosen["input"],
                    default_output=number == chosen["output"],
                )
            )
        return found

    def refresh(self) -> None:
        """Look again which devices there are. Only while no stream is open.

        The library has no public way to do this; its own documentation names these two calls for it.
        """
        self._library._terminate()
        self._library._initialize()

    def open_input(self, device: Device, rates: Sequence[int], take: Callable[[bytes, float], None]) -> OpenStream:
        """Open a microphone at the first of ``rates`` (samples per second) that it has.

        ``take`` is called on the audio thread with each 20 ms of 16-bit samples and the time (seconds since the epoch).

        Raises:
            VoiceFault: the device is busy or broken.
        """
        calls = _Calls()

        def callback(data: Any, _count: int, _times: Any, status: Any) -> None:
            calls.note(status)
            take(bytes(data), self._clock())

        return self._open(self._library.RawInputStream, device, End.MICROPHONE, rates, IN_BLOCK_S, 1, callback, calls)

    def open_output(self, device: Device, rates: Sequence[int], give: Callable[[int], Samples]) -> OpenStream:
        """Open a loudspeaker at the first of ``rates`` (samples per second) that it has.

        ``give`` is called on the audio thread with a count n and returns samples, shape (n,). They go to the left and
        the right alike.

        Raises:
            VoiceFault: the device is busy or broken.
        """
        calls = _Calls()
        channels = min(2, device.outputs)

        def callback(data: Any, count: int, _times: Any, status: Any) -> None:
            calls.note(status)
            data[:] = np.repeat(give(count), channels).tobytes()

        kind = self._library.RawOutputStream
        return self._open(kind, device, End.LOUDSPEAKER, rates, OUT_BLOCK_S, channels, callback, calls)

    def _open(
        self,
        kind: Callable[..., Any],
        device: Device,
        end: End,
        rates: Sequence[int],
        block_s: float,
        channels: int,
        callback: Callable[..., None],
        calls: _Calls,
    ) -> OpenStream:
        rate = self._rate_of(device, end, rates)
        told = _Told(self._library.PortAudioError, device, end)
        with told:
            stream = kind(
                device=device.index,
                samplerate=rate,
                blocksize=round(block_s * rate),
                channels=channels,
                dtype="int16",
                latency=LATENCY_S,
                callback=callback,
            )
        return OpenStream(stream, rate, told, calls)

    def _chosen(self, kind: str) -> int:
        """Return the number of the device that the system would choose; -1 when there is none."""
        try:
            return int(self._library.query_devices(kind=kind)["index"])
        except (self._library.PortAudioError, ValueError):
            return -1

    def _rate_of(self, device: Device, end: End, rates: Sequence[int]) -> int:
        check = self._library.check_input_settings if end is End.MICROPHONE else self._library.check_output_settings
        for rate in rates:
            try:
                check(device=device.index, channels=1, dtype="int16", samplerate=rate)
            except (self._library.PortAudioError, ValueError):
                continue
            return rate
        return device.rate_hz  # opening it will tell what is wrong


def _load() -> Any:
    try:
        import sounddevice  # noqa: PLC0415 - importing it loads PortAudio, which may be missing
    except OSError as fault:
        raise VoiceFault(NO_LIBRARY) from fault
    return sounddevice


class _Told:
    """Turns the library's errors on opening a device into a sentence."""

    def __init__(self, error: type[Exception], device: Device, end: End) -> None:
        self._error, self._device, self._end = error, device, end

    def __enter__(self) -> None:
        pass

    def __exit__(self, _kind: object, fault: BaseException | None, _trace: object) -> None:
        if not isinstance(fault, self._error | ValueError):
            return
        name = f'The {self._end} "{self._device.name}"'
        if "unavailable" in str(fault) or "busy" in str(fault):
            advice = "is in use by another program; close that one, or choose another device"
        else:
            advice = f"cannot be opened ({' '.join(str(fault).split())}); plug it in again, or choose another device"
        raise VoiceFault(f"{name} {advice} from the list that `assistant devices` prints.") from fault


class _QuietDrivers:
    """Keeps what C libraries print out of the dialogue: Python's own error output goes on, theirs goes nowhere.

    ALSA, JACK and PortAudio print from threads of their own at any time, so it must last as long as they are in use.
    """

    def __init__(self) -> None:
        self._python: TextIO | None = None
        try:
            kept = os.dup(2)
        except OSError:
            return  # there is no error output at all
        sys.stderr.flush()
        self._before = sys.stderr
        self._kept = kept
        if _is_terminal_output(sys.stderr):
            self._python = os.fdopen(os.dup(kept), "w", buffering=1, errors="backslashreplace")
            sys.stderr = self._python
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 2)
        os.close(nowhere)

    def close(self) -> None:
        if not hasattr(self, "_kept"):
            return
        if self._python is not None:
            self._python.flush()
            if sys.stderr is self._python:
                sys.stderr = self._before
        os.dup2(self._kept, 2)
        os.close(self._kept)
        del self._kept


def _is_terminal_output(stream: TextIO) -> bool:
    """Return whether ``stream`` writes to file descriptor 2 itself (and not, say, into a test's memory)."""
    try:
        return stream.fileno() == 2
    except (OSError, ValueError, AttributeError):
        return False
