"""Closing the sound card ends, whatever its driver does; and a watch that breaks is told."""

from __future__ import annotations

import atexit
import threading
import time

import pytest

from assistant.events import End, Then
from assistant.voice.adapters.portaudio import PortAudio
from assistant.voice.sound.card import SoundCard
from assistant.worker import Failure
from tests.fakes.stuck_card import StuckLibrary

pytestmark = pytest.mark.slow


def test_a_stream_that_never_stops_is_not_waited_for() -> None:
    library = StuckLibrary()
    card = SoundCard(library=PortAudio(library=library))
    card.microphone()
    card.loudspeaker()
    began = time.monotonic()
    card.close()
    assert time.monotonic() - began < 8


def test_a_watch_that_hangs_in_the_driver_is_not_waited_for() -> None:
    library = StuckLibrary("hangs")
    card = SoundCard(library=PortAudio(library=library))
    card.microphone()
    assert library.looks.wait(10)
    began = time.monotonic()
    card.close()
    assert time.monotonic() - began < 8


def test_the_end_of_the_process_does_not_wait_for_a_stuck_stream_either(monkeypatch: pytest.MonkeyPatch) -> None:
    left: list[object] = []
    monkeypatch.setattr(atexit, "unregister", left.append)
    library = StuckLibrary()
    card = SoundCard(library=PortAudio(library=library))
    card.microphone()
    card.close()
    assert left == [library._exit_handler]


def test_a_watch_that_breaks_is_told_and_after_the_third_time_the_devices_count_as_lost() -> None:
    told: list[Failure] = []
    ended = threading.Event()

    def tell(failure: Failure) -> None:
        told.append(failure)
        if failure.then is Then.ENDED:
            ended.set()

    lost: list[End] = []
    card = SoundCard(library=PortAudio(library=StuckLibrary("breaks")), on_failure=tell, on_lost=lost.append)
    card.microphone()
    assert ended.wait(20)
    card.close()
    assert [one.then for one in told] == [Then.AGAIN, Then.AGAIN, Then.ENDED]
    assert {(one.part, one.error) for one in told} == {("sound_card", "RuntimeError")}
    assert lost == [End.MICROPHONE]
