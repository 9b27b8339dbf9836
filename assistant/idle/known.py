"""What a bay knows between jobs, read from its journal, the folder of its procedures and its settings."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Sequence
from itertools import islice
from pathlib import Path

from assistant.desk.pages import BayDesk
from assistant.events import Thresholds
from assistant.idle.state import AtHand, ListRow, Mechanic, RowKind
from assistant.journal.leasing import is_moved
from assistant.journal.port import JobInfo, JobState, Journal, JournalFault, opened_of
from assistant.kept.orders import known_machines, known_orders
from assistant.kept.rebuilding import rebuild_session
from assistant.language.chosen import LANGUAGE, WRITTEN
from assistant.language.values import StepAt
from assistant.procedure.format.reader import Reading
from assistant.scan.meaning import Known as KnownCodes
from assistant.settings import Settings

MOST_JOBS = 500
"""So many of the newest jobs are looked at for open ones: years of work in one bay."""
_MOST_OPEN = 30
_KEPT = 100


class KnownHere:
    """Reads it, and reads only what changed since the last time."""

    def __init__(
        self,
        journal: Journal,
        desk: BayDesk,
        settings: Settings,
        elsewhere: Callable[[], Sequence[JobInfo]] = tuple,
    ) -> None:
        """Know the jobs of ``journal``, the procedure files of ``desk``, and the names in ``settings``.

        ``elsewhere`` gives the open jobs that other bays of the workshop have.
        """
        self._elsewhere = elsewhere
        self._journal, self._desk = journal, desk
        self._jobs: OrderedDict[tuple[str, int], ListRow] = OrderedDict()
        self._orders = settings.orders
        self._machines_at: tuple[str, tuple[str, ...]] = ("", ())
        self._people = people_of(settings.operators or settings.operator)
        usual = people_of(settings.operator)
        self._usual = usual[0].name if usual else ""

    def now(self) -> AtHand:
        """Return what there is now."""
        orders = known_orders(self._orders)
        fault = orders if isinstance(orders, str) else ""
        codes = KnownCodes(() if isinstance(orders, str) else orders, self._machines())
        return AtHand(self._open_jobs(), self._procedures(), self._people, self._usual, codes, fault)

    def reading(self, path: Path) -> Reading:
        """Return what is read from the procedure file at ``path`` now."""
        return self._desk.reading(path)

    def path(self, name: str) -> Path | None:
        """Return where the procedure file ``name`` lies; None where it is there no more."""
        return next((path for path in self._desk.files() if path.name == name), None)

    def _machines(self) -> tuple[str, ...]:
        """Return the machines of all jobs; they are looked for again behind each new job."""
        try:
            newest = next((job.id for job in self._journal.scan()), "")
        except JournalFault:
            return ()
        if self._machines_at[0] != newest:
            self._machines_at = newest, known_machines(self._journal)
        return self._machines_at[1]

    def _open_jobs(self) -> tuple[ListRow, ...]:
        try:
            newest = islice(self._journal.scan(), MOST_JOBS)
            is_open = (job for job in newest if job.state in (JobState.OPEN, JobState.PAUSED) and not job.rehearsal)
            here = (job for job in is_open if not is_moved(self._journal.lease(job.id)))
            rows = tuple(self._job(info) for info in islice(here, _MOST_OPEN))
            return (*rows, *(_in_another_bay(info) for info in self._elsewhere()))[:_MOST_OPEN]
        except JournalFault:
            return ()  # whoever starts a job is told

    def _job(self, info: JobInfo) -> ListRow:
        known = self._jobs.get((info.id, info.entries))
        if known is None:
            known = self._jobs[info.id, info.entries] = self._read_job(info)
            if len(self._jobs) > _KEPT:
                self._jobs.popitem(last=False)
        return known

    def _read_job(self, info: JobInfo) -> ListRow:
        asset = customer = operator = ""
        step = None
        try:
            entries = self._journal.read(info.id).entries
            opened = opened_of(entries[0])
            asset, customer = opened.asset, opened.customer
            session = rebuild_session(entries, Thresholds())
            operator = session.state.operator
            at = session.view(entries[-1].at_ms / 1000)["step"]
            step = None if at is None or at["extra"] else StepAt(at["number"], at["closing"])
        except (JournalFault, IndexError):
            pass  # it stands in the list without a place; whoever goes on with it is told
        return ListRow(
            kind=RowKind.JOB, key=info.id, title=info.title, stands=info.state.value, machine=asset,
            customer=customer, operator=operator, step=step, at_ms=info.last_at_ms,
        )  # fmt: skip

    def _procedures(self) -> tuple[ListRow, ...]:
        return tuple(self._procedure(path) for path in self._desk.files())

    def _procedure(self, path: Path) -> ListRow:
        reading = self._desk.reading(path)
        procedure = reading.procedure
        if procedure is None:
            return ListRow(kind=RowKind.PROCEDURE, key=path.name, title=path.stem.replace("-", " "), stands="faulty")
        stands = "procedure" if procedure.approved else "draft"
        return ListRow(
            kind=RowKind.PROCEDURE, key=path.name, title=procedure.title, stands=stands, machine=procedure.machine,
            content=procedure.sha256,
        )  # fmt: skip


def _in_another_bay(info: JobInfo) -> ListRow:
    return ListRow(
        kind=RowKind.JOB, key=info.id, title=info.title, stands=info.state.value, at_ms=info.last_at_ms, bay=info.bay
    )


def people_of(setting: str) -> tuple[Mechanic, ...]:
    """Return the people of the setting ``operators``: names with commas between them.

    Where a name is not spelled as it is heard, ``Name = words`` says how it is spoken.

    >>> [(one.name, one.spoken, one.sounds) for one in people_of("Kim, Aoife = ee fa, Jon, John")]
    [('Kim', 'kim', 0), ('Aoife', 'ee fa', 0), ('Jon', 'jon', 3), ('John', 'john', 3)]
    """
    pairs: dict[str, str] = {}
    for part in setting.split(","):
        name, _, spoken = part.partition("=")
        if name := " ".join(name.split()):
            pairs[name] = LANGUAGE.phrases.name(spoken.strip() or name)
    heard = list(pairs.values())
    return tuple(Mechanic(name, spoken, _alike(spoken, heard)) for name, spoken in pairs.items())


def _alike(spoken: str, heard: Sequence[str]) -> int:
    """Return the place of the first of those in ``heard``, from one, that sound like ``spoken``; 0 where none does."""
    places = [at for at, other in enumerate(heard, 1) if spoken and WRITTEN.wording.sound_alike(spoken, other)]
    return places[0] if len(places) > 1 else 0
