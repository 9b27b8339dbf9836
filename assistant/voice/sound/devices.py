"""Sound devices as the mechanic names them: by number, by name or part of it, or the system's own choice. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.events import End
from assistant.files import whole_number
from assistant.voice.ports import VoiceFault


@dataclass(frozen=True, slots=True)
class Device:
    """A sound device as the system lists it; ``inputs`` and ``outputs`` are numbers of channels."""

    index: int
    name: str
    host: str
    inputs: int
    outputs: int
    rate_hz: int
    """The device's own sampling rate."""
    default_input: bool = False
    default_output: bool = False

    def serves(self, end: End) -> bool:
        """Return whether the device can be the microphone or the loudspeaker."""
        return (self.inputs if end is End.MICROPHONE else self.outputs) > 0

    def is_default(self, end: End) -> bool:
        """Return whether the system would choose this device."""
        return self.default_input if end is End.MICROPHONE else self.default_output


def pick_device(devices: Sequence[Device], end: End, wanted: str) -> Device:
    """Return the one device that ``wanted`` means: its number, its name, part of its name, or "" for the default.

    Raises:
        VoiceFault: there is no such device, or more than one.
    """
    able = [device for device in devices if device.serves(end)]
    if not able:
        raise VoiceFault(
            f"No {end} was found; plug one in (with PulseAudio or PipeWire the Debian package libasound2-plugins is "
            "needed too) and look at the list that `assistant devices` prints."
        )
    wanted = wanted.strip()
    if not wanted:
        return next((device for device in able if device.is_default(end)), able[0])
    number = whole_number(wanted)
    if number is not None:
        found = [device for device in able if device.index == number]
    else:
        key = wanted.casefold()
        found = [device for device in able if device.name.casefold() == key]
        found = found or [device for device in able if key in device.name.casefold()]
    if not found:
        raise VoiceFault(f'There is no {end} "{wanted}"; `assistant devices` lists what there is.')
    if len(found) > 1:
        names = ", ".join(f"{device.index} {device.name}" for device in found)
        raise VoiceFault(f'"{wanted}" fits several devices ({names}); give the number of the {end}.')
    return found[0]
