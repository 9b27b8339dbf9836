"""Links to the central store for the threads of the pages: each serves one at a time; a broken one is made again."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault, CentralPlace

MOST_LINKS = 6
"""So many questions are asked at once; more wait for their turn."""
_TURN_S = 10.0
_ANSWER_S = 15.0
_BUSY = "Many ask the central store just now; look again in a minute."
_T = TypeVar("_T")


class Links:
    """A few links to one place, handed from thread to thread."""

    def __init__(self, place: CentralPlace) -> None:
        """Link to ``place`` when something is asked."""
        self.place = place
        self._idle: list[CentralLink] = []
        self._guard = threading.Lock()
        self._places = threading.BoundedSemaphore(MOST_LINKS)

    def read(self, work: Callable[[CentralLink], _T]) -> _T:
        """Return what ``work`` reads by a link of its own; it is called once more where an idle link was broken.

        Raises:
            CentralFault: the store cannot be reached, refuses, or many ask at once.
        """
        if not self._places.acquire(timeout=_TURN_S):
            raise CentralFault(_BUSY, gone=True)
        try:
            link = self._take()
            if link is not None:
                try:
                    return self._done(link, work)
                except CentralFault as fault:
                    if not fault.gone:
                        raise
            return self._done(CentralLink(self.place, program="office page", answer_s=_ANSWER_S), work)
        finally:
            self._places.release()

    def _done(self, link: CentralLink, work: Callable[[CentralLink], _T]) -> _T:
        try:
            return work(link)
        finally:
            if link.is_open:
                with self._guard:
                    self._idle.append(link)
            else:
                link.close()

    def _take(self) -> CentralLink | None:
        with self._guard:
            return self._idle.pop() if self._idle else None

    def close(self) -> None:
        """End those that are idle."""
        while (link := self._take()) is not None:
            link.close()
