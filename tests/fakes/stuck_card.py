"""A sound library whose driver never lets go of a stream, and never answers when it is asked to look again."""

from __future__ import annotations

import threading
from typing import Any

FOR_EVER = threading.Event()
"""Nothing sets it."""


class StuckStream:
    """Opens and starts like any stream; whoever stops it waits for ever."""

    latency = 0.01
    active = True

    def __init__(self, **_options: Any) -> None:
        """Take what a stream takes."""

    def start(self) -> None:
        """Start."""

    def abort(self) -> None:
        """Never come back."""
        FOR_EVER.wait()

    close = abort


class LostStream(StuckStream):
    """A stream whose device was pulled out, and which lets go."""

    active = False

    def abort(self) -> None:
        """Stop."""

    close = abort


class StuckLibrary:
    """Stands in for the module sounddevice: one device with both ends."""

    PortAudioError = OSError

    def __init__(self, looking: str = "works") -> None:
        """When the list of devices is asked for again, it "works", "hangs" for ever or "breaks".

        Unless it works, devices are lost at once, so that it is asked for.
        """
        self.asked = 0
        self.looks = threading.Event()
        self._looking = looking
        self.RawInputStream = self.RawOutputStream = StuckStream if looking == "works" else LostStream

    def query_hostapis(self) -> list[dict[str, Any]]:
        """Return the one system of sound devices."""
        return [{"name": "invented"}]

    def query_devices(self, kind: str | None = None) -> Any:
        """Return the one device."""
        device = {
            "name": "stuck card", "hostapi": 0, "index": 0, "max_input_channels": 1, "max_output_channels": 1,
            "default_samplerate": 16_000.0,
        }  # fmt: skip
        if kind:
            return device
        self.asked += 1
        if self.asked > 1 and self._looking != "works":
            self.looks.set()
            if self._looking == "breaks":
                raise RuntimeError("no such host")
            FOR_EVER.wait()
        return [device]

    def check_input_settings(self, **_options: Any) -> None:
        """Take every rate."""

    check_output_settings = check_input_settings

    def _exit_handler(self) -> None:
        """Wait for the stream at the end of the process, as the real one does."""
        FOR_EVER.wait()
