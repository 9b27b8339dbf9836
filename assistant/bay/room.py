"""Opens the real parts of a bay in a room: sound card, recogniser, voice; for a job, and for measuring."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from functools import partial

from rich.console import Console

from assistant.bay.bay import Bay
from assistant.bay.ears import RoomEars
from assistant.bay.engines import choose_recogniser, note_writer, second_opinion, start_synthesiser
from assistant.bay.inbox import Inbox
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.desk.options import DisplayOptions
from assistant.phone.ends import beside_phone, microphone_or_phone, open_or_phone
from assistant.phone.headset import Headset
from assistant.phone.installed import phone_is_installed
from assistant.settings import Settings, home
from assistant.voice.listening.over_room import device_names, listen_over
from assistant.voice.sound.card import SoundCard
from assistant.voice.sound.held import MicrophoneHold
from assistant.voice.speaking.speaker import CardSpeaker, Sink


@contextmanager
def phone_of(page: DisplayOptions | None, inbox: Inbox, clock: SteadyClock) -> Iterator[Headset | None]:
    """Give what makes a phone the headset; None where no page has the button for it, or the extra is missing."""
    if page is None or not page.touch or not phone_is_installed():
        yield None
        return
    headset = Headset(
        clock.now,
        on_lost=inbox.lost,
        on_back=inbox.back,
        on_set=inbox.headset,
        on_lost_sound=inbox.overflowed,
        on_failure=inbox.failed,
    )
    try:
        yield headset
    finally:
        headset.close()


@contextmanager
def bay_in_a_room(
    settings: Settings,
    inbox: Inbox,
    clock: SteadyClock,
    screen: Callable[[], Screen],
    *,
    tap: Callable[[Sink], Sink] = lambda loudspeaker: loudspeaker,
    waits: bool = False,
    phone: Headset | None = None,
) -> Iterator[Bay[RoomEars]]:
    """Give the bay that ``settings`` describe, with everything opened; at the end all is closed.

    ``inbox`` takes what happens, ``clock`` stamps it; ``screen`` makes what can be seen of it once the devices are
    open. ``tap`` may put something between the speaker and the loudspeaker. With ``waits``, a device that is not there
    yet counts as lost: it is told, and taken up when it comes. A ``phone`` may take the place of both devices, or of
    those that are missing. A microphone that another bay listens to is refused, and so it is when it comes back.

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
                on_absent=inbox.told if waits else None,
                hold=MicrophoneHold(str(home().absolute())),
                on_held=inbox.told,
            )
            stack.callback(card.close)
            own = microphone_or_phone(card.microphone, settings.microphone, phone, inbox.told)
            output = open_or_phone(partial(card.loudspeaker, settings.loudspeaker), phone, inbox.told)
            known = settings.echo_devices if settings.over_echo and not settings.headset else None
            over, sink = listen_over(own, output, settings.echo_delay_ms / 1000, known, clock.now, inbox.not_over)
            microphone, loudspeaker = beside_phone(own, sink, phone)
            stack.callback(microphone.close)
        with console.status("Loading the recogniser and the voice"):
            make = partial(choose_recogniser, settings, inbox.told, lambda: microphone.name)
            recogniser = make()
            voices.ready()
        second = second_opinion(inbox.failed, inbox.told)
        if second is not None:
            stack.callback(second.close)
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
            again=make,
            headset=lambda: settings.headset or (phone is not None and phone.is_on),
            tail_s=settings.tail_ms / 1000,
            over=over,
            devices=device_names(own, output),
            pedal_key=settings.pedal_key,
            notes=note_writer(inbox.failed, inbox.told),
            second=second,
        )
        yield Bay(ears, speaker, clock, screen(), inbox=inbox)
