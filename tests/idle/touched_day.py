"""A bay that waits with its real page and nobody to talk to: ``python -m tests.idle.touched_day HOME FOLDER [HOST]``.

It prints the link of the page; with HOST that for looking, and behind it that with the buttons. Each line
that it reads is a phrase that is pressed on its keyboard.
"""

from __future__ import annotations

import sys
import threading
from collections.abc import Callable, Iterable
from pathlib import Path

from assistant.bay.bay import Bay
from assistant.bay.inbox import Errand, Inbox
from assistant.bay.keys import unbounced
from assistant.bay.live import OpenRoom
from assistant.bay.screen import Screen
from assistant.clock import SteadyClock
from assistant.customer.customers import CustomerPages
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.display.board import Ear
from assistant.events import Grammar, Source, Thresholds
from assistant.idle.day import Day, pressed_on_page
from assistant.idle.known import KnownHere
from assistant.journal.opening import open_journal
from assistant.pictures.taking import PhotoPost
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from tests.fakes.silent_speaker import SilentSpeaker

TURN_S = 0.1
"""So often it is looked whether the day was ended."""


class Hands:
    """Ears of a bay in which nobody speaks: what comes is pressed, on the page or on the keyboard."""

    is_live, over, name, limits = False, False, "hands", Thresholds()

    def __init__(self, inbox: Inbox) -> None:
        self._inbox = inbox

    def unknown_words(self, _words: Iterable[str]) -> dict[str, str]:
        """No word is unknown."""
        return {}

    def begin(self, _loop_silent_s: Callable[[], float], _on_loop: Callable[[], None]) -> None:
        """Nothing has to be opened."""

    def listen_for(self, _grammar: Grammar) -> None:
        """Nothing is listened for."""

    def take(self, most_s: float) -> Errand | None:
        """Return what was pressed next."""
        return self._inbox.take(min(most_s, TURN_S))

    def unsaid(self) -> str:
        """All was done."""
        return ""

    def look(self) -> Ear:
        """Return what the microphone does."""
        return Ear("closed", None)

    def close(self) -> None:
        """Nothing is open."""


def main(home: Path, folder: Path, host: str = "") -> None:
    """Wait and work until a signal ends the day."""
    inbox, clock, customers = Inbox(), SteadyClock(), CustomerPages()
    settings = Settings(operators="Kim, Aoife = ee fa, Jon", operator="Kim")
    display = Display(
        DisplayOptions(host, 0, touch=True),
        procedures=folder,
        customers=customers,
        press=unbounced(lambda phrase, at: inbox.pressed(phrase, Source.TOUCH, at)),
        choose=pressed_on_page(inbox),
    )
    with open_journal(home) as journal:
        bay = Bay[Hands](Hands(inbox), SilentSpeaker(), clock, Screen(Dialogue(sys.stderr), display.board), inbox=inbox)
        room = OpenRoom(bay, inbox, clock, journal, customers, PhotoPost(inbox.put))
        threading.Thread(target=_read, args=(inbox,), daemon=True).start()
        print(display.link, *([display.touch_link] if host else []), flush=True)
        Day(room, settings, KnownHere(journal, display.desk, settings)).run([])
    display.close()


def _read(inbox: Inbox) -> None:
    for line in sys.stdin:
        inbox.pressed(line.strip(), Source.KEY)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), *sys.argv[3:])
