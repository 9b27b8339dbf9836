"""Opens the real parts of a bay in a room: sound card, recogniser, voice; for a job, and for measuring."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import partial

from rich.console import Console

from assistant.bay.bay import Bay
from assistant.bay.ears import RoomEars
from assistant.bay.engines import choose_recogniser, note_writer, start_synthesiser
from assistant.bay.inbox import Inbox
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.settings import Settings
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.adapters.webrtc import WebrtcCanceller
from assistant.voice.listening.over_echo import LostBy, OverEcho
from assistant.voice.ports import VoiceFault
from assistant.voice.sound.card import SoundCard
from assistant.voice.sound.ends import CardLoudspeaker, CardMicrophone
from assistant.voice.sound.played import PlayedSound, TappedLoudspeaker, lag_of
from assistant.voice.speaking.speaker import CardSpeaker, Sink


@contextmanager
def bay_in_a_room(
    settings: Settings,
    inbox: Inbox,
    clock: SteadyClock,
    screen: Callable[[], Screen],
    *,
    tap: Callable[[Sink], Sink] = lambda loudspeaker: loudspeaker,
) -> Iterator[Bay[RoomEars]]:
    """Give the bay that ``settings`` describe, with everything opened; at the end all is closed.

    ``inbox`` takes what happens, ``clock`` stamps it; ``screen`` makes what can be seen of it once the devices are
    open. ``tap`` may put something between the speaker and the loudspeaker.

    Raises:
        VoiceFault: a device or an engine is missing or busy.
    """
    console = Console(stderr=True)
    with ExitStack() as stack:
        with console.status("Opening the devices"):
            voices = start_synthesiser(settings, inbox.failed)  # it loads while the devices and the recogniser do
            stack.callback(voices.close)
            card = SoundCard(
                on_lost=inbox.lost,
                on_back=inbox.back,
                on_overflow=inbox.overflowed,
                on_failure=inbox.failed,
                clock=clock.now,
            )
            stack.callback(card.close)
            microphone = card.microphone(settings.microphone)
            stack.callback(microphone.close)
            output = card.loudspeaker(settings.loudspeaker)
            over, loudspeaker = _over_echo(settings, inbox, clock, microphone, output)
        with console.status("Loading the recogniser and the voice"):
            recogniser = choose_recogniser(settings)
            voices.ready()
        speaker = CardSpeaker(
            voices,
            tap(loudspeaker),
            rate=settings.rate,
            volume=settings.volume,
            on_fault=inbox.told,
            on_failure=inbox.failed,
        )
        stack.callback(speaker.close)
        ears = RoomEars(
            microphone,
            recogniser,
            speaker,
            inbox,
            again=partial(choose_recogniser, settings),
            headset=settings.headset,
            tail_s=settings.tail_ms / 1000,
            over=over,
            devices=device_names(microphone, output),
            pedal_key=settings.pedal_key,
            notes=note_writer(inbox.failed, inbox.told),
        )
        yield Bay(ears, speaker, clock, screen(), inbox=inbox)


def device_names(microphone: CardMicrophone, loudspeaker: CardLoudspeaker) -> str:
    """Return what tells whether both devices are those with which the echo was measured."""
    return f"{microphone.name} > {loudspeaker.name}"


def _over_echo(
    settings: Settings, inbox: Inbox, clock: SteadyClock, microphone: CardMicrophone, loudspeaker: CardLoudspeaker
) -> tuple[OverEcho | None, Sink]:
    """Return what listens through the own voice, and the loudspeaker that tells it what it plays.

    Where that was not measured with these devices, or cannot be, it is None, and one sentence says so.
    """
    if settings.headset or not settings.over_echo:
        return None, loudspeaker

    def same_devices() -> bool:
        return device_names(microphone, loudspeaker) == settings.echo_devices

    if not same_devices():
        inbox.not_over(LostBy.DEVICES)
        return None, loudspeaker
    played = PlayedSound(lag_of(settings.echo_delay_ms / 1000))
    try:
        over = OverEcho(WebrtcCanceller(), played, SileroDetector(), on_lost=inbox.not_over, same_devices=same_devices)
    except VoiceFault as fault:
        inbox.told(fault.sentence)
        inbox.not_over("missing")
        return None, loudspeaker
    return over, TappedLoudspeaker(loudspeaker, clock.now, played.given)
