"""Builds what listens through the own voice, for one microphone and one loudspeaker, or says why nothing does."""

from __future__ import annotations

from collections.abc import Callable

from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcCanceller
from assistant.voice.listening.over_echo import LostBy, OverEcho
from assistant.voice.ports import VoiceFault
from assistant.voice.sound.ends import CardLoudspeaker, CardMicrophone
from assistant.voice.sound.played import PlayedSound, TappedLoudspeaker, lag_of
from assistant.voice.speaking.speaker import Sink


def device_names(microphone: CardMicrophone | None, loudspeaker: CardLoudspeaker | None) -> str:
    """Return what tells whether both devices are those with which the echo was measured; "" where one is missing."""
    return "" if microphone is None or loudspeaker is None else f"{microphone.name} > {loudspeaker.name}"


def listen_over(
    microphone: CardMicrophone | None,
    loudspeaker: CardLoudspeaker | None,
    delay_s: float,
    measured: str | None,
    clock: Callable[[], float],
    on_lost: Callable[[LostBy], None],
) -> tuple[OverEcho | None, Sink | None]:
    """Return what listens through the own voice, and the loudspeaker that tells it what it plays.

    ``delay_s`` is how long the own voice takes to the microphone [s], between the devices that ``measured`` names; None
    where it is not to listen so, as where a device is missing. Where these are others, or nothing takes the own voice
    out, ``on_lost`` gets why.
    """
    if measured is None or loudspeaker is None:
        return None, loudspeaker

    def same_devices() -> bool:
        return device_names(microphone, loudspeaker) == measured

    if not same_devices():
        on_lost(LostBy.DEVICES)
        return None, loudspeaker
    played = PlayedSound(lag_of(delay_s))
    try:
        detectors = SileroDetector(), SileroDetector()
        over = OverEcho(WebrtcCanceller(), played, detectors, on_lost=on_lost, same_devices=same_devices)
    except VoiceFault:
        on_lost(LostBy.MISSING)
        return None, loudspeaker
    return over, TappedLoudspeaker(loudspeaker, clock, played.given)
