"""Opens the bay's microphone and loudspeaker, watches them, and picks them up again when they were gone."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from pathlib import Path

from assistant.events import End
from assistant.voice.adapters.portaudio import PortAudio
from assistant.voice.ports import VoiceFault
from assistant.voice.sound.devices import Device, pick_device
from assistant.voice.sound.ends import CardLoudspeaker, CardMicrophone
from assistant.voice.sound.held import HeldElsewhere, MicrophoneHold
from assistant.worker import OnFailure, Worker

_LOOK_S = 0.25
_RETRY_S = 1.0
_CLOSE_S = 3.0
"""How long closing waits for a watch that hangs in a driver [s]."""
_OVERFLOW_QUIET_S = 10.0
"""Lost sound is reported at once, and then not again for this long, in seconds."""
_CARDS = Path("/proc/asound/cards")


class SoundCard:
    """Opens the devices and keeps them: one that disappears is reported, tried every second, and taken up again."""

    def __init__(
        self,
        *,
        on_lost: Callable[[End], None] | None = None,
        on_back: Callable[[End], None] | None = None,
        on_overflow: Callable[[int], None] | None = None,
        on_failure: OnFailure | None = None,
        clock: Callable[[], float] | None = None,
        library: PortAudio | None = None,
        on_absent: Callable[[str], None] | None = None,
        hold: MicrophoneHold | None = None,
        on_held: Callable[[str], None] = lambda _sentence: None,
    ) -> None:
        """Load the sound library, or take ``library``. The callbacks run on the card's own thread: note and return.

        With ``on_absent`` a device that cannot be opened at first counts as lost: the sentence says why, ``on_lost`` is
        told, and it is tried until it is there. Without, opening it raises.

        ``hold`` keeps other bays from the microphone, from its first opening until the card is closed. One that another
        bay has is not opened: at first that raises; when it comes back ``on_held`` is told once, and it is tried again.

        ``on_overflow`` gets how many pieces of microphone sound were lost so far, when that has grown; ``on_failure``
        is told when the watch over the devices breaks. ``clock`` tells the times of the blocks [s since the epoch].

        Raises:
            VoiceFault: the library is not installed.
        """
        self._library = library or PortAudio(clock=clock)
        self._on_lost = on_lost or (lambda _end: None)
        self._on_back = on_back or (lambda _end: None)
        self._on_overflow = on_overflow or (lambda _count: None)
        self._on_absent = on_absent
        self._hold, self._on_held = hold, on_held
        self._held_told = ""
        self._ends: dict[End, CardMicrophone | CardLoudspeaker] = {}
        self._wanted: dict[End, str] = {}
        self._tried_at: dict[End, float] = {}
        self._overflowed = 0
        self._quiet_until = 0.0
        self._news: list[tuple[Callable[[End], None], End]] = []
        self._stuck = False
        self._cards = _cards_now()
        self._lock = threading.Lock()
        self._closing = threading.Event()
        self._worker = Worker(
            "sound_card", self._watch, on_failure=on_failure or (lambda _failure: None), on_end=self._end_all
        )
        self._worker.start()

    def devices(self) -> list[Device]:
        """Return the devices of this computer."""
        with self._lock:
            return self._library.devices()

    def microphone(self, wanted: str = "") -> CardMicrophone:
        """Open the microphone that ``wanted`` means: a number, a name or part of one, or "" for the default.

        Raises:
            VoiceFault: there is none, it is not clear which, or it is busy or broken.
        """
        microphone = CardMicrophone()
        self._open_first(microphone, wanted)
        return microphone

    def loudspeaker(self, wanted: str = "") -> CardLoudspeaker:
        """Open the loudspeaker that ``wanted`` means: a number, a name or part of one, or "" for the default.

        Raises:
            VoiceFault: there is none, it is not clear which, or it is busy or broken.
        """
        loudspeaker = CardLoudspeaker()
        self._open_first(loudspeaker, wanted)
        return loudspeaker

    def close(self) -> None:
        """Free the devices; a driver that does not let go of one is not waited for longer than a few seconds."""
        self._closing.set()
        ended = self._worker.close(_CLOSE_S)
        ours = self._lock.acquire(timeout=_CLOSE_S if ended else 0.0)
        try:
            for part in list(self._ends.values()):
                part.close()
                if ours:
                    self._discard(part)
            self._ends.clear()
            if self._hold is not None:
                self._hold.release()
        finally:
            if ours:
                self._lock.release()
        self._library.close(stuck=self._stuck or not ours)

    def _open_first(self, part: CardMicrophone | CardLoudspeaker, wanted: str) -> None:
        with self._lock:
            if part.end in self._ends:
                self._discard(self._ends.pop(part.end))
            try:
                device = pick_device(self._library.devices(), part.end, wanted)
                self._connect(part, device)
            except VoiceFault as fault:
                if self._on_absent is None or isinstance(fault, HeldElsewhere):
                    raise
                self._on_absent(fault.sentence)
                self._wanted[part.end], self._tried_at[part.end] = wanted, time.monotonic()
                self._news.append((self._on_lost, part.end))
            else:
                part.present = True
                # Numbers change when devices come and go; the system's own choice is asked for anew.
                self._wanted[part.end] = device.name if wanted.strip() else ""
            self._ends[part.end] = part

    def _connect(self, part: CardMicrophone | CardLoudspeaker, device: Device) -> None:
        """Open the device, unless another bay has it; one that cannot be opened stays this bay's to wait for."""
        if self._hold is not None and part.end is End.MICROPHONE:
            self._hold.take(device.name)
        part.open(self._library, device)

    def _end_all(self) -> None:
        """Take nothing for there any more: nobody watches the devices."""
        for part in list(self._ends.values()):
            if part.present:
                part.present = False
                self._on_lost(part.end)

    def _watch(self, go_on: Callable[[], bool]) -> None:
        while not self._closing.wait(_LOOK_S) and go_on():
            with self._lock:
                for part in list(self._ends.values()):
                    if part.stream is None:
                        self._try_again(part)
                    elif not part.stream.alive:
                        self._discard(part)
                        self._lose(part)
                    elif not part.present and part.stream.flowing:
                        part.present = True
                        self._news.append((self._on_back, part.end))
            self._tell()

    def _try_again(self, part: CardMicrophone | CardLoudspeaker) -> None:
        now = time.monotonic()
        if now - self._tried_at[part.end] < _RETRY_S:
            return
        self._tried_at[part.end] = now
        if not self._reopened(part) and self._look_again():
            self._reopened(part)

    def _lose(self, part: CardMicrophone | CardLoudspeaker) -> None:
        self._tried_at[part.end] = time.monotonic()
        if part.present:
            part.present = False
            self._news.append((self._on_lost, part.end))

    def _reopened(self, part: CardMicrophone | CardLoudspeaker) -> bool:
        try:
            self._connect(part, pick_device(self._library.devices(), part.end, self._wanted[part.end]))
        except VoiceFault as fault:
            if isinstance(fault, HeldElsewhere) and fault.sentence != self._held_told:
                self._held_told = sentence = fault.sentence
                self._news.append((lambda _end: self._on_held(sentence), part.end))
            return False
        if part.end is End.MICROPHONE:
            self._held_told = ""
        return True

    def _look_again(self) -> bool:
        """Refresh the list of devices; return False when that would disturb the other end without a reason."""
        others = [part for part in self._ends.values() if part.stream is not None]
        cards = _cards_now()
        if self._stuck or (others and cards == self._cards):
            return False
        self._cards = cards
        for part in others:
            self._discard(part)
        if not self._stuck:
            self._library.refresh()
        for part in others:
            if not self._reopened(part):
                self._lose(part)
        return True

    def _discard(self, part: CardMicrophone | CardLoudspeaker) -> None:
        if part.stream is not None:
            stream, part.stream = part.stream, None
            if isinstance(part, CardMicrophone):
                part.flagged_before += stream.flagged
            self._stuck |= not stream.discard()

    def _tell(self) -> None:
        """Call back with the lock free, so that a callback may use the card."""
        news, self._news = self._news, []
        for call, end in news:
            call(end)
        microphone = self._ends.get(End.MICROPHONE)
        if not isinstance(microphone, CardMicrophone) or time.monotonic() < self._quiet_until:
            return
        if microphone.lost_pieces > self._overflowed:
            self._overflowed = microphone.lost_pieces
            self._quiet_until = time.monotonic() + _OVERFLOW_QUIET_S
            self._on_overflow(self._overflowed)


def _cards_now() -> str:
    """Return the kernel's list of sound cards, which changes when one comes or goes; empty where there is no list."""
    try:
        return _CARDS.read_text()
    except OSError:
        return ""
