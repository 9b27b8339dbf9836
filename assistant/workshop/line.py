"""The bay's line to the central store: a supervised thread that sends what is new, and tells when it cannot."""

from __future__ import annotations

import contextlib
import secrets
import threading
from collections.abc import Callable, Iterator
from pathlib import Path

from assistant.central.place import CentralFault, CentralPlace, read_place
from assistant.clock import steady
from assistant.journal.copies import CentralJobs
from assistant.journal.port import JobInfo, JournalFault
from assistant.settings import Settings, home, settings_path
from assistant.worker import OnFailure, Worker
from assistant.workshop.copies import forget_copies
from assistant.workshop.library_copy import FOLDER
from assistant.workshop.library_refresh import refresh_library
from assistant.workshop.moving import bring_if_away
from assistant.workshop.sending import Sender

LOOKS_EVERY_S = 0.25
"""So often [s] the thread looks whether something is new."""
LISTS_EVERY_S, MOST_ELSEWHERE = 10.0, 30
"""So often [s] it is asked which jobs other bays have, and so many are kept."""
LIBRARY_EVERY_S = 60.0
"""So often [s] it is asked what is new in the library."""
WAITS_S = (1.0, 30.0)
"""So long [s] it waits before it tries a store again that it could not reach: at first, and at most."""
_DRAW = secrets.SystemRandom()
TOKEN = "central.token"  # noqa: S105 - the name of its file


def central_place(settings: Settings) -> CentralPlace | None:
    """Return where the central store is; None when the bay stands alone.

    Raises:
        CentralFault: the address or the token cannot be used.
    """
    return read_place(settings.central, token_path()) if settings.central else None


def token_path() -> Path:
    """Return where the token for the central store lies: beside the settings."""
    return settings_path().parent / TOKEN


class CentralLine:
    """Sends on a thread of its own. The job never waits for it, and nothing is lost while it cannot."""

    def __init__(
        self,
        folder: Path,
        place: CentralPlace,
        *,
        tell: Callable[[str], object],
        on_failure: OnFailure,
        clock: Callable[[], float] = steady,
    ) -> None:
        """Be ready to send from the data folder ``folder``; ``tell`` gets what a person must know, a sentence each."""
        self._folder, self._place, self._tell, self._clock = folder, place, tell, clock
        self._stop = threading.Event()
        self._worker = Worker("central", self._work, on_failure=on_failure)
        self._said: set[str] = set()
        self.waiting = 0
        """So many entries were not sent in the last round."""
        self.elsewhere: tuple[JobInfo, ...] = ()
        """The open jobs that other bays have, newest first, as they were known last."""
        self.reached = False
        """Whether the store could be reached in the last round."""

    def start(self) -> None:
        """Begin."""
        self._worker.start()

    def close(self) -> None:
        """End; what was not sent is sent the next time."""
        self._stop.set()
        self._worker.close()

    def _look_elsewhere(self, sender: Sender) -> None:
        if sender.link is not None:
            with contextlib.suppress(CentralFault):  # the next round says so
                self.elsewhere = CentralJobs(sender.link).elsewhere(MOST_ELSEWHERE)

    def _refresh(self, sender: Sender) -> None:
        """Bring the bay's copy of the library up to date, and forget what was forgotten elsewhere."""
        link = sender.link
        if link is not None:
            with contextlib.suppress(CentralFault, JournalFault):  # asked again, a minute later
                forget_copies(link, self._folder)
        link = sender.link  # None where it broke meanwhile: the next round says so
        if link is None:
            return
        came = refresh_library(link, self._folder / FOLDER)
        if came.gone or sender.link is None:
            return
        for sentence in came.faults:
            if sentence not in self._said:
                self._said.add(sentence)
                self._tell(sentence)

    def _work(self, goes_on: Callable[[], bool]) -> None:
        sender = Sender(self._folder, self._place, self._tell)
        told, wait_s, due = "", WAITS_S[0], self._clock()
        looked = refreshed = float("-inf")
        with contextlib.closing(sender):
            while goes_on() and not self._stop.is_set():
                now = self._clock()
                if now >= due:
                    try:
                        self.waiting = sender.round(now, lambda: goes_on() and not self._stop.is_set()).waiting
                    except (CentralFault, JournalFault) as fault:
                        self.reached = False
                        if fault.sentence != told:
                            told = fault.sentence
                            self._tell(fault.sentence)
                        # Not all bays at once, when a store comes back.
                        due, wait_s = now + wait_s * _DRAW.uniform(0.5, 1.5), min(2 * wait_s, WAITS_S[1])
                    else:
                        if told:
                            self._tell("The central store is reached again.")
                        self.reached, told, wait_s = True, "", WAITS_S[0]
                        if now >= looked + LISTS_EVERY_S:
                            looked = now
                            self._look_elsewhere(sender)
                        if now >= refreshed + LIBRARY_EVERY_S:
                            refreshed = now
                            self._refresh(sender)
                self._stop.wait(LOOKS_EVERY_S)
            if self.reached:  # the last words of a job, which is closed by now
                with contextlib.suppress(CentralFault, JournalFault):
                    sender.round(self._clock())


def job_brought(name: str, settings: Settings, from_bay: str = "") -> str:
    """Return the job that ``name`` means, which another bay may have had: then it is brought here.

    A bay that stands alone gives the name back.

    Raises:
        CentralFault: the job is not here, and the store cannot be reached, or another bay has it.
        JournalFault: it cannot be kept here.
    """
    place = central_place(settings)
    return name if place is None else bring_if_away(place, home(), name, settings.bay, from_bay)


@contextlib.contextmanager
def line_of(
    settings: Settings, folder: Path, tell: Callable[[str], object], on_failure: OnFailure
) -> Iterator[CentralLine | None]:
    """Send what the bay in ``folder`` writes down meanwhile, when ``settings`` name a central store.

    An address or a token that cannot be used is told; the bay works without.
    """
    try:
        place = central_place(settings)
    except CentralFault as fault:
        tell(fault.sentence)
        place = None
    if place is None:
        yield None
        return
    line = CentralLine(folder, place, tell=tell, on_failure=on_failure)
    line.start()
    try:
        yield line
    finally:
        line.close()
