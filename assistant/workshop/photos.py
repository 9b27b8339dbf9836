"""Carries photos between a bay and the central store, behind the entries that name them; no entry waits for one.

A photo is known by its hash, so which are missing on which side is found out anew on each link and nothing need be
remembered. What is here and not there is sent, by whichever bay has the file; what is there and not here is fetched,
for a job that this bay has: it was brought from another one, or the bay was put back.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from enum import Enum, auto
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.files import FileFault
from assistant.journal.chain import Head
from assistant.journal.copies import StoredJobs
from assistant.pictures.store import PHOTOS, store_of
from assistant.workshop.photo_facts import JobPhotos, fetch_photo
from assistant.workshop.photo_store import photos_there, put_photo, takes_photos

MOST_PHOTO_BYTES_AT_ONCE = 4_000_000
"""Behind so many bytes of photos new entries have their turn."""
LOOKS_FOR_PHOTOS_S, TRIES_PHOTO_S = 20.0, 600.0
"""So often [s] it is looked whether a photo that is missing came, and what could not be taken is tried again."""
TAKES_NONE = "The central store is of an older version and takes no photos yet; update it with: assistant workshop init"
_WHY = {
    "large": "is larger than the store takes, or empty",
    "hash": "came there as another file than was taken",
    "form": "is no JPEG",
    "away": "is of a job, or a month, that is not there any more",
}


class _Came(Enum):
    """What came of one photo."""

    SENT = auto()
    FETCHED = auto()
    SETTLED = auto()
    WAITS = auto()
    LACKS = auto()


@dataclass(slots=True)
class PhotoRound:
    """What came of one round: photos sent and fetched, those that are missing on a side, and whether it was cut off."""

    sent: int = 0
    fetched: int = 0
    waiting: int = 0
    more: bool = False

    def add(self, later: PhotoRound) -> None:
        """Add what came of a round behind this one."""
        self.sent, self.fetched = self.sent + later.sent, self.fetched + later.fetched
        self.waiting, self.more = later.waiting, later.more


@dataclass(slots=True)
class PhotoCarrier:
    """Carries the photos of the data folder ``folder``; it serves one thread. ``tell`` gets each sentence once."""

    folder: Path
    tell: Callable[[str], object] = lambda _sentence: None
    _link: CentralLink | None = None
    _takes: bool = False
    _heads: Mapping[str, tuple[str, Head]] = field(default_factory=dict)
    _photos: dict[str, JobPhotos] = field(default_factory=dict)
    _there: dict[str, set[str]] = field(default_factory=dict)
    _open: dict[str, list[str]] = field(default_factory=dict)
    _later: dict[tuple[str, str], float] = field(default_factory=dict)
    _said: set[str] = field(default_factory=set)
    _looked_at: float = float("-inf")

    def look(self, link: CentralLink, jobs: StoredJobs, heads: Mapping[str, tuple[str, Head]]) -> int:
        """Find out which photos are not where they should be, and return how many; cheap when nothing is new.

        ``jobs`` reads the journal of the bay, whose ends are ``heads``.

        Raises:
            CentralFault: the store cannot be reached.
            JournalFault: the journal cannot be read.
        """
        fresh = link is not self._link
        if not fresh and heads is self._heads:
            return self._count()
        before = self._heads
        names = {job for job, (_, head) in heads.items() if before.get(job, ("", None))[1] != head} if before else set()
        if fresh:
            self._takes = takes_photos(link)
            self._there = photos_there(link, heads) if self._takes else {}
            here = {path.name for path in self.folder.glob(f"{PHOTOS}/*")}
            names |= (here | self._photos.keys() | self._there.keys() | jobs.open_jobs(heads).keys()) & heads.keys()
            self._later.clear()
        anew = [job for job in names if self._photos.setdefault(job, JobPhotos(job)).read_on(jobs, heads[job][1].seq)]
        if not fresh and self._takes:
            self._ask(link, anew)
        self._sort(names, jobs.away())
        self._link, self._heads = link, heads
        return self._count()

    def carry(
        self, jobs: StoredJobs, ends: Mapping[str, Head], now: float, goes_on: Callable[[], bool] = lambda: True
    ) -> PhotoRound:
        """Send and fetch, by the link of the last look, what that found; ``ends`` is where the jobs end in the store.

        ``now`` is in seconds of a clock that never steps; ``goes_on`` is asked before each photo.

        Raises:
            CentralFault: the store cannot be reached.
            JournalFault: the journal cannot be read.
        """
        came_to, bytes_left = PhotoRound(), MOST_PHOTO_BYTES_AT_ONCE
        link = self._link
        if link is None or not self._open:
            return came_to
        if not self._takes:
            self._say(TAKES_NONE)
        elif now >= self._looked_at + LOOKS_FOR_PHOTOS_S:
            self._looked_at = now
            self._ask(link, list(self._open))
        for job, names in list(self._open.items()):
            left, lacking = [], []
            for name in names:
                came = _Came.WAITS
                came_to.more |= bytes_left <= 0
                if self._takes and bytes_left > 0 and now >= self._later.get((job, name), now) and goes_on():
                    came = self._one(link, jobs, job, name, ends.get(job, Head()).seq, now)
                came_to.sent += came is _Came.SENT
                came_to.fetched += came is _Came.FETCHED
                if came in (_Came.SENT, _Came.FETCHED):
                    bytes_left -= store_of(job, self.folder).size(name)
                elif came is not _Came.SETTLED:
                    left.append(name)
                    if came is _Came.LACKS:
                        lacking.append(name)
            self._tell_missing(job, lacking)
            self._open[job] = left
            if not left:
                del self._open[job]
        came_to.waiting = self._count()
        return came_to

    def _one(self, link: CentralLink, jobs: StoredJobs, job: str, name: str, ended: int, now: float) -> _Came:
        photos, store = self._photos[job], store_of(job, self.folder)
        if name not in self._there.get(job, ()):
            if ended < photos.named_at(name):
                return _Came.WAITS
            data = store.read(name)
            if not isinstance(data, FileFault):
                return self._sent(link, job, name, data, now)
            photos.read_on(jobs)  # who drops a photo writes so down before the file goes
            if name not in photos.numbers:
                return _Came.SETTLED
            if data.missing:
                self._later[job, name] = now + LOOKS_FOR_PHOTOS_S
                return _Came.LACKS
            self._note(job, name, f"is not sent to the central store: {data.reason}", now)
            return _Came.WAITS
        try:
            came = fetch_photo(link, jobs, store, job, name)
        except OSError as fault:
            self._note(job, name, f"cannot be kept in this bay ({fault.strerror}); make room on the disk", now)
            return _Came.WAITS
        if came:
            return _Came.FETCHED
        self._later[job, name] = now + LOOKS_FOR_PHOTOS_S
        return _Came.LACKS

    def _sent(self, link: CentralLink, job: str, name: str, data: bytes, now: float) -> _Came:
        try:
            why = put_photo(link, job, name, data)
        except CentralFault as fault:
            if fault.gone or not link.is_open:
                raise
            self._note(job, name, f"is not taken by the central store ({fault.sentence.rstrip('.')})", now)
            return _Came.WAITS
        if why in _WHY:
            self._note(job, name, f"is not taken by the central store: it {_WHY[why]}", now)
            return _Came.WAITS
        if why:
            return _Came.SETTLED  # dropped or forgotten in another bay: this one learns so by its entries
        self._there.setdefault(job, set()).add(name)
        return _Came.SENT

    def _ask(self, link: CentralLink, jobs: Collection[str]) -> None:
        found = photos_there(link, jobs)
        self._there.update((job, found.get(job, set())) for job in jobs)

    def _sort(self, jobs: Collection[str], away: Collection[str]) -> None:
        """Note of ``jobs`` which photos are not both here and there; for one that is ``away`` nothing is fetched."""
        for job in jobs:
            store, there = store_of(job, self.folder), self._there.get(job, set())
            here = {name: store.has(name) for name in self._photos[job].numbers}
            left = [
                name for name, has in here.items() if not (has and name in there) and (has or job not in away)
            ]  # fmt: skip
            self._open.pop(job, None)
            if left:
                self._open[job] = left

    def _count(self) -> int:
        return sum(map(len, self._open.values()))

    def _tell_missing(self, job: str, names: Collection[str]) -> None:
        if names:
            numbers = self._photos[job].numbers
            listed = ", ".join(map(str, sorted(numbers[name] for name in names if name in numbers)))
            called = f"Photo {listed}" if len(names) == 1 else f"Photos {listed}"
            which = "is" if len(names) == 1 else "are"
            self._say(
                f"{called} of job {job} {which} not here, and the central store has no such file yet; what is missing "
                "comes by itself once the bay that has it has sent it."
            )

    def _note(self, job: str, name: str, told: str, now: float) -> None:
        self._later[job, name] = now + TRIES_PHOTO_S
        self._say(f"Photo {self._photos[job].numbers.get(name, 0)} of job {job} {told}.")

    def _say(self, sentence: str) -> None:
        if sentence not in self._said:
            self._said.add(sentence)
            self.tell(sentence)
