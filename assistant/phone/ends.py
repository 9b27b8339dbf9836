"""Microphone and loudspeaker of a bay that may have a phone as headset: the phone's while it is there, else its own."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Protocol, TypeVar

import numpy as np

from assistant.phone.headset import Headset
from assistant.voice.ports import Block, Microphone, Samples, VoiceFault
from assistant.voice.sound.held import HeldElsewhere
from assistant.voice.speaking.speaker import Sink

PHONE = "phone"
"""What the phone's microphone is called."""
_LOOK_S = 0.2


class NamedMicrophone(Microphone, Protocol):
    """A microphone that says what it is called."""

    @property
    def name(self) -> str:
        """What it is called."""


Own = TypeVar("Own")


def open_or_phone(open_own: Callable[[], Own], headset: Headset | None, tell: Callable[[str], None]) -> Own | None:
    """Return the device that ``open_own`` opens; None where it cannot, but a phone may come, which is told then.

    Raises:
        HeldElsewhere: another bay has it.
        VoiceFault: it cannot be opened, and no phone can take its place.
    """
    try:
        return open_own()
    except HeldElsewhere:
        raise  # whoever wants a bay with a phone alone says so
    except VoiceFault as fault:
        if headset is None:
            raise
        tell(f"{fault.sentence} Until then a phone can be the headset.")
        return None


def microphone_or_phone(
    open_own: Callable[[str], Own], wanted: str, headset: Headset | None, tell: Callable[[str], None]
) -> Own | None:
    """Return the microphone ``wanted`` that ``open_own`` opens; None where it is to be a phone's alone, or may be.

    Raises:
        HeldElsewhere: another bay has it.
        VoiceFault: it cannot be opened, and no phone can take its place.
    """
    if wanted != PHONE:
        return open_or_phone(lambda: open_own(wanted), headset, tell)
    if headset is None:
        raise VoiceFault(
            f'The microphone "{PHONE}" is that of a phone on the page, and no phone can join here: add '
            "--display-touch, and install the extra phone (pip install 'step-assistant[phone]')."
        )
    return None


def beside_phone(
    own: NamedMicrophone | None, sink: Sink | None, headset: Headset | None
) -> tuple[NamedMicrophone, Sink]:
    """Return the microphone and the loudspeaker of a bay with these devices, and maybe a phone.

    One of the devices may be missing only where there may be a phone.
    """
    if headset is not None:
        return EitherMicrophone(own, headset), EitherLoudspeaker(sink, headset)
    assert own is not None
    assert sink is not None
    return own, sink


class EitherMicrophone:
    """The phone's microphone while a phone is the headset, else ``own``, if there is one."""

    def __init__(self, own: NamedMicrophone | None, headset: Headset) -> None:
        self._own, self._headset = own, headset
        self._was_on = False
        self._closed = False

    @property
    def name(self) -> str:
        """What the one is called that is listened to now; "" where there is none."""
        if self._headset.is_on:
            return PHONE
        return self._own.name if self._own is not None else ""

    def read(self, timeout: float) -> Block | None:
        """Return the next block of the one that counts now, or None when none came within ``timeout`` seconds.

        What the other one hears meanwhile is nobody's: it is taken out of its queue and forgotten.
        """
        is_on = self._headset.is_on
        if is_on or is_on != self._was_on:
            self._forget_own()
        if not is_on:
            while self._headset.read(0.0) is not None:
                pass
        self._was_on = is_on
        if is_on or self._own is None:
            block = self._headset.read(min(timeout, _LOOK_S))
            return block if is_on else None
        return self._own.read(min(timeout, _LOOK_S))

    @property
    def ended(self) -> bool:
        """Whether no block will ever come again."""
        return self._closed or (self._own is not None and self._own.ended)

    def close(self) -> None:
        """Give no more blocks; the devices are their owners' to close."""
        self._closed = True
        if self._own is not None:
            self._own.close()

    def _forget_own(self) -> None:
        while self._own is not None and self._own.read(0.0) is not None:
            pass


class EitherLoudspeaker:
    """The phone while one is the headset, else ``own``, if there is one: the sink of a ``CardSpeaker``."""

    def __init__(self, own: Sink | None, headset: Headset) -> None:
        self._own, self._headset = own, headset
        if own is not None:
            headset.rate_hz = own.rate_hz
        self._turn = threading.Lock()
        self._pull: Callable[[int], Samples] | None = None

    @property
    def rate_hz(self) -> int:
        """Samples per second, the same for both."""
        return self._headset.rate_hz

    @property
    def latency_s(self) -> float:
        """Seconds from a sample's being asked for to its being heard."""
        if self._headset.is_on:
            return self._headset.latency_s
        return self._own.latency_s if self._own is not None else 0.0

    @property
    def alive(self) -> bool:
        """Whether one of them is there and plays."""
        return self._headset.is_on or (self._own is not None and self._own.alive)

    def start(self, pull: Callable[[int], Samples]) -> None:
        """Begin to play what ``pull`` gives, at the one that counts."""
        self._pull = pull
        self._headset.play(lambda count: self._give(count, to_phone=True))
        if self._own is not None:
            self._own.start(lambda count: self._give(count, to_phone=False))

    def close(self) -> None:
        """Play nothing any more."""
        self._pull = None
        self._headset.play(None)
        if self._own is not None:
            self._own.close()

    def _give(self, count: int, *, to_phone: bool) -> Samples:
        """Return the next samples for the one that counts, silence for the other; never for both at once."""
        with self._turn:
            pull = self._pull
            if pull is None or to_phone != self._headset.is_on:
                return np.zeros(count, dtype=np.int16)
            return pull(count)
