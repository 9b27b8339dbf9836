"""What nobody tells by itself is noticed: what stands still, what speaks too long, and a computer that is busy."""

from __future__ import annotations

import pytest

from assistant.bay.inbox import is_busy
from assistant.bay.runner import JobRunner
from assistant.bay.watchdog import Watchdog
from assistant.terminal.trouble import TOO_LONG
from tests.bay.live import LiveBay


class Watched:
    """A speaker and a listening as the watchdog sees them."""

    def __init__(self) -> None:
        self.now = 0.0
        self.sounds = False
        self.played = 0
        self.silent_s = 0.0
        self.loop_s = 0.0
        self.story: list[str] = []

    def is_sounding(self) -> bool:
        return self.sounds

    def rescue(self) -> None:
        self.story.append("rescue")
        self.sounds = False

    def replace(self) -> None:
        self.story.append("replace")
        self.silent_s = 0.0

    def look(self, watchdog: Watchdog, seconds: int, *, plays: bool) -> None:
        for _ in range(seconds):
            self.now += 1
            self.played += 160 if plays else 0
            watchdog.look()


@pytest.fixture
def watched() -> tuple[Watched, Watchdog]:
    seen = Watched()
    story = seen.story
    dog = Watchdog(
        seen,
        seen,
        lambda: seen.loop_s,
        on_long=lambda: story.append("long"),
        on_loop=lambda: story.append("loop"),
        on_failure=lambda _failure: None,
        clock=lambda: seen.now,
    )
    return seen, dog


def test_an_utterance_over_thirty_seconds_is_told_once(watched: tuple[Watched, Watchdog]) -> None:
    seen, dog = watched
    seen.sounds = True
    seen.look(dog, 30, plays=True)
    assert seen.story == []
    seen.look(dog, 60, plays=True)
    assert seen.story == ["long"]


def test_what_counts_as_sounding_and_plays_nothing_is_ended(watched: tuple[Watched, Watchdog]) -> None:
    seen, dog = watched
    seen.sounds = True
    seen.look(dog, 25, plays=False)
    assert seen.story == ["rescue"]


def test_a_listening_and_a_loop_that_stand_still_are_noticed(watched: tuple[Watched, Watchdog]) -> None:
    seen, dog = watched
    seen.silent_s = seen.loop_s = 11.0
    seen.look(dog, 3, plays=False)
    assert seen.story == ["replace", "loop"]


@pytest.mark.parametrize(
    ("stands", "load", "sentence"),
    [
        (False, 0.1, "Some sound was lost; say it again."),
        (False, 1000.0, "Some sound was lost, because this computer is busy; say it again."),
        (True, 1000.0, "Some sound was lost, because the hearing stood still; say it again."),
    ],
)
def test_a_computer_is_called_busy_only_when_it_is(
    live: LiveBay, monkeypatch: pytest.MonkeyPatch, stands: bool, load: float, sentence: str
) -> None:
    monkeypatch.setattr("os.getloadavg", lambda: (load, load, load))
    assert is_busy() == (load > 100)

    def lose(_runner: JobRunner, _now: float) -> None:
        live.inbox.listening_stands = lambda: stands
        live.inbox.overflowed(5)

    live.run(lose, lambda *_: "sound was lost" in live.out.getvalue())
    assert sentence in live.out.getvalue()
    assert sentence in live.page.notices
    assert live.out.getvalue().count("tone   trouble") == 1


def test_an_utterance_that_is_long_is_told_on_the_page_and_by_a_tone(live: LiveBay) -> None:
    live.run(lambda *_: live.inbox.spoke_long(), lambda *_: TOO_LONG in live.page.notices)
    assert live.out.getvalue().count("tone   trouble") == 1
