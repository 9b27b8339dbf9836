"""Follows the central store: what a bay sent is on the pages in the same second; a broken link is made again."""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import Callable

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault, CentralPlace
from assistant.office.cards import OfficeCards, OfficeJobs
from assistant.worker import OnFailure, Worker

WAIT_S = 1.0
"""So long a word from the store is waited for at a time [s], and so long until a broken link is made again."""
_GATHER_S = 0.2
"""What comes within this time [s] is read together: many bays may send at once."""
_COMPARE_S = 5.0
"""So often all jobs are compared with the store [s], whatever it told: it is also the sign that the link holds."""
_FIRST_S = 180.0
"""So long the first reading of a workshop may take [s]."""


class Watch:
    """Keeps the cards of one workshop up to date, on a thread of its own."""

    def __init__(
        self,
        place: CentralPlace,
        changed: Callable[[], None],
        on_failure: OnFailure,
        ready: Callable[[], object] = lambda: None,
    ) -> None:
        """Follow the store at ``place``; ``changed`` is called on the thread when there is something else to show.

        ``ready`` is called there behind the first reading, for what takes its time and may be made before it is wanted.
        """
        self._ready = ready
        self._place = place
        self._changed = changed
        self._cards = OfficeCards()
        self._closing = threading.Event()
        self._known = threading.Event()
        self.trouble = ""
        """Why what is shown may be old, in one sentence; "" while the link holds."""
        self.seen_s = 0.0
        """When the store was compared with what is shown last [s since the epoch]."""
        self._worker = Worker("office", self._work, on_failure=on_failure)

    @property
    def shown(self) -> OfficeJobs:
        """What is known."""
        return self._cards.shown

    def start(self, patience_s: float = 10.0) -> None:
        """Begin, and wait until the jobs are known or cannot be reached, at most ``patience_s`` [s]."""
        self._worker.start()
        self._known.wait(patience_s)

    def close(self) -> None:
        """End."""
        self._closing.set()
        self._worker.close(timeout_s=WAIT_S + 2.0)

    def _work(self, go_on: Callable[[], bool]) -> None:
        while go_on():
            try:
                with contextlib.closing(CentralLink(self._place, program="office", answer_s=_FIRST_S)) as link:
                    self._follow(link, go_on)
            except CentralFault as fault:
                self._say(fault)
                self._closing.wait(WAIT_S)

    def _follow(self, link: CentralLink, go_on: Callable[[], bool]) -> None:
        row = link.one("SELECT shop.my_workshop()")
        if row is None or row[0] is None:
            raise CentralFault(f"The central store does not know the login {self._place.told}; ask for another one.")
        mine = str(row[0])
        channel = f"shop_{mine}"
        link.listen(channel, 0.0)
        self._bring_up(link, mine, None)
        self._ready()
        compared = time.monotonic()
        while go_on():
            names = set(link.listen(channel, WAIT_S))
            if names:
                self._closing.wait(_GATHER_S)
                names |= set(link.listen(channel, 0.0))
            if time.monotonic() - compared >= _COMPARE_S:
                self._bring_up(link, mine, None)
                compared = time.monotonic()
            elif names:
                self._bring_up(link, mine, sorted(names))

    def _bring_up(self, link: CentralLink, mine: str, names: list[str] | None) -> None:
        changed = self._cards.bring_up(link, mine, names)
        self.seen_s = time.time()
        was, self.trouble = self.trouble, ""
        self._known.set()
        if changed or was:
            self._changed()

    def _say(self, fault: CentralFault) -> None:
        where = f"{self._place.host}:{self._place.port}"
        since = f"{time.strftime('%Y-%m-%d %H:%M:%S', time.localtime(self.seen_s))}" if self.seen_s else ""
        sentence = fault.sentence
        if fault.gone:
            known = f"what you see was true at {since}" if since else "nothing can be shown before it answers"
            sentence = f"The central store at {where} is not reachable; {known}. It is tried again every second."
        was, self.trouble = self.trouble, sentence
        self._known.set()
        if was != sentence:
            self._changed()
