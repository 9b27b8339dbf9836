"""The records and lists that a browser asks for: one at a time, made in another process, and kept until jobs go on."""

from __future__ import annotations

import subprocess
import sys
import threading
from collections import OrderedDict
from collections.abc import Hashable

from assistant.desk import record_page
from assistant.display.desk import DeskBusy
from assistant.journal.port import JobInfo, JournalFault
from assistant.terminal.streams import warn
from assistant.workshop.wordings import known_wordings

MAKING_S = 120.0
"""A record that takes longer than this [s] is given up."""
MOST_WAITING = 16
"""More who ask for a record at once are told to come again: each of them holds a thread."""
MOST_KEPT_BYTES = 16 * 1024 * 1024


class RecordPages:
    """Makes one record after the other, whoever asks, so that looking never takes more than one process."""

    def __init__(self, module: str = record_page.__name__, *given: str) -> None:
        """Keep nothing yet; ``module`` makes one in its process, of ``given``, the form and the name."""
        self._command = [sys.executable, "-P", "-m", module, *given]
        self._kept: OrderedDict[tuple[str, str], tuple[Hashable, bytes]] = OrderedDict()
        self._places = threading.BoundedSemaphore(MOST_WAITING)
        self._turn = threading.Lock()
        self._guard = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._closed = False
        self.made = 0
        """How many were made, and not found among those that are kept."""

    def page(self, job: JobInfo, form: str = "html", beside: Hashable = None) -> bytes:
        """Return the record of ``job`` as it is after its last entry: a whole HTML document, or "pdf".

        It is made anew as well where ``beside``, what else it is made of, is another than the last time.

        Raises:
            DeskBusy: too many ask at once, or it takes too long.
            JournalFault: nothing of the job can be read.
        """
        busy = (
            f"The record of job {job.id} takes too long to show here; write it with: "
            f"assistant record {job.id} --{form} FILE"
        )
        return self.made_of(form, job.id, (job, beside, known_wordings()), busy)

    def made_of(self, form: str, name: str, stamp: Hashable, busy: str) -> bytes:
        """Return what is made in ``form`` of ``name``, anew where ``stamp`` is another than the last time.

        Raises:
            DeskBusy: too many ask at once, or it takes too long: ``busy``.
            JournalFault: it cannot be made.
        """
        key = form, name
        if (kept := self._find(key, stamp)) is not None:
            return kept
        if not self._places.acquire(blocking=False):
            raise DeskBusy("Many look at records just now; try again in a minute.")
        try:
            if not self._turn.acquire(timeout=MAKING_S):
                raise DeskBusy("Other records are being made; try again in a minute.")
            try:
                if (kept := self._find(key, stamp)) is None:
                    kept = self._make(key, busy)
                    self._keep(key, stamp, kept)
                return kept
            finally:
                self._turn.release()
        finally:
            self._places.release()

    def close(self) -> None:
        """Give up what is being made."""
        with self._guard:
            self._closed = True
            if self._process is not None:
                self._process.kill()

    def _find(self, key: tuple[str, str], stamp: Hashable) -> bytes | None:
        with self._guard:
            known, page = self._kept.get(key, (None, b""))
            if known != stamp:
                return None
            self._kept.move_to_end(key)
            return page

    def _keep(self, key: tuple[str, str], stamp: Hashable, page: bytes) -> None:
        with self._guard:
            self._kept[key] = stamp, page
            self._kept.move_to_end(key)
            while self._kept and sum(len(one) for _, one in self._kept.values()) > MOST_KEPT_BYTES:
                self._kept.popitem(last=False)

    def _make(self, key: tuple[str, str], busy: str) -> bytes:
        with self._guard:
            if self._closed:
                raise DeskBusy("The display has ended.")
            process = self._process = subprocess.Popen(  # noqa: S603 - our own module; a name is one word of its own
                [*self._command, *key], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.PIPE
            )
        try:
            page, said = process.communicate(timeout=MAKING_S)
        except subprocess.TimeoutExpired as fault:
            raise DeskBusy(busy) from fault
        finally:
            with self._guard:
                self._process = None
            if process.poll() is None:
                process.kill()
                process.communicate()
        if process.returncode != 0:
            sentence = said.decode(errors="replace") if process.returncode == 1 else ""
            raise JournalFault(sentence.strip() or "It could not be made here. Look at the page again later.")
        self.made += 1
        if said:  # such as that the workshop's own text could not be used
            warn(said.decode(errors="replace").strip())
        return page
