"""The pages of customers: what they show, from the journal alone, and the way of an answer into it.

One process writes into a job. Where that is this one, an answer waits in the inbox of its loop; where nobody holds the
job, it is written down here, under the job's lease; where another process holds it, it is kept in a file, which that
process takes in (:mod:`assistant.customer.waiting`).
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from assistant.clock import SteadyClock
from assistant.customer.answer import as_it_counts, customer_answer, digest_of
from assistant.customer.links import Link, find_link
from assistant.customer.own_text import own_text_of
from assistant.customer.photos import photos_of
from assistant.customer.priced import prices_of
from assistant.customer.waiting import KeptAnswer, jobs_with_answers, keep_answer, take_in, waiting_answers
from assistant.display.customer import CustomerPage, NotShown, OfferShown
from assistant.display.hung import Hung
from assistant.events import Thresholds
from assistant.facts.customer import CustomerAnswered, PriceShown
from assistant.facts.extra import GrantWay
from assistant.facts.going import Closed
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, JobBusy, JournalFault, opened_of
from assistant.kept.pictures import Pictures, pictures_again
from assistant.kept.rebuilding import rebuild_session
from assistant.report.shown import price_text
from assistant.session.customer import CustomerWork
from assistant.session.session import Session
from assistant.session.state import ExtraIs
from assistant.settings import home

MOST_ANSWERS = 4
"""To one piece of extra work, all told: each of them is spoken in the bay."""
_UNKNOWN = "This link is not known here, or its time is over. Ask the workshop for a new one."
_CLOSED = "This job has ended, and nothing can be answered here any more. Please call the workshop."
_CHANGED = "What is shown has changed since you opened this page. Please look at it again before you answer."
_SLOW = "The workshop's computer is busy. Open this page again in a minute: it shows whether your answer is there."
_NOT_KEPT = "Your answer could not be kept just now. Please call the workshop."
_ENOUGH = "This was answered several times. Please call the workshop, so that it knows which answer counts."
_LATE = (
    "Your answer came after another one. The workshop is told, but it changes nothing by itself: "
    "please call the workshop and say which one counts."
)


MakesAnswer = Callable[[float], CustomerAnswered]
"""Makes the entry of an answer at a time [s since the epoch]."""


class Took(Enum):
    """What the process that works on a job did with an answer."""

    KEPT = "kept"
    CLOSED = "closed"
    NOT_KEPT = "not_kept"
    SLOW = "slow"


_NOT_TAKEN = {
    Took.CLOSED: (_CLOSED, 410),
    Took.NOT_KEPT: (_NOT_KEPT, 503),
    Took.SLOW: (_SLOW, 503),
}


@dataclass(frozen=True, slots=True)
class _Job:
    """A job as its entries tell it."""

    session: Session
    entries: Sequence[Entry]
    pictures: Pictures
    works: Sequence[CustomerWork]


class CustomerPages:
    """The pages of all jobs of this bay."""

    def __init__(self) -> None:
        """Show jobs that no process here works on; see :meth:`live`."""
        self._clock = SteadyClock()
        self._lock = threading.Lock()
        self._too_late: set[str] = set()
        """Answers that wait for a job that is closed, and are left where they lie."""
        self._read: tuple[str, _Job] | None = None
        self._live: tuple[str, Callable[[MakesAnswer], Took]] | None = None

    def live(self, job: str, take: Callable[[MakesAnswer], Took]) -> None:
        """Let ``take`` have the answers for ``job`` from now on: this process holds it."""
        self._live = job, take

    def live_no_more(self) -> None:
        """Write answers down here again: this process lets the job go."""
        self._live = None

    # What there is to see

    def page(self, token: str) -> CustomerPage:
        """Return what the customer with ``token`` sees.

        Raises:
            NotShown: the token opens nothing, or the job cannot be shown.
        """
        link = self._link(token)
        self.collect(link.job)
        return self._page(link, self._job(link.job))

    def picture(self, token: str, name: str) -> Hung:
        """Return the picture whose hash is ``name``.

        Raises:
            NotShown: there is none on the page.
        """
        link = self._link(token)
        job = self._job(link.job)
        shown = [hung for _, hung in photos_of(link.job)]
        shown += [job.pictures[work.picture] for work in job.works if work.picture in job.pictures]
        found = next((hung for hung in shown if hung.sha256 and hung.sha256 == name), None)
        if found is None:
            raise NotShown("There is no such picture on this page.")
        return found

    def collect(self, job: str) -> None:
        """Write answers that wait for ``job`` into its journal, unless somebody works on it, who does that then."""
        waiting = [one for one in waiting_answers(job) if one.name not in self._too_late]
        if not waiting or (self._live is not None and self._live[0] == job):
            return
        with contextlib.suppress(JournalFault, OSError), self._lock, open_journal(home(), make=False) as journal:
            held = journal.hold(job, round(self._clock.now() * 1000))
            entries = held.entries()
            take_in(held, waiting, rebuild_session(entries, Thresholds()), self._not_before(entries))
            self._too_late.update(one.name for one in waiting_answers(job))

    def collect_all(self) -> None:
        """Do so for all jobs."""
        for job in jobs_with_answers():
            self.collect(job)

    def _not_before(self, entries: Sequence[Entry]) -> float:
        """Return the time [s since the epoch], which is never before the last of ``entries``."""
        return max(self._clock.now(), entries[-1].at_ms / 1000)

    def _link(self, token: str) -> Link:
        link = find_link(token, round(self._clock.now() * 1000))
        if link is None:
            raise NotShown(_UNKNOWN, is_secret=True)
        return link

    def _job(self, name: str) -> _Job:
        """Return the job as it is now; what was read before is read on, so that looking costs the bay little."""
        with self._lock:
            try:
                with open_journal(home(), read_only=True) as journal:
                    known = self._read[1] if self._read is not None and self._read[0] == name else None
                    if known is not None and not journal.follow(name, known.entries[-1].seq):
                        return _open(known)
                    entries, verdict = journal.read(name)
                if not verdict.good or not entries:
                    raise NotShown("This page cannot be shown just now. Please call the workshop.", 503)
                session = rebuild_session(entries, Thresholds())
            except JournalFault as fault:
                raise NotShown("This page cannot be shown just now. Please call the workshop.", 503) from fault
            at_home = opened_of(entries[0]).procedure_path
            pictures = pictures_again(session.procedure, at_home, (entry.fact for entry in entries))
            job = _Job(session, entries, pictures, session.for_customer)
            self._read = name, job
            return _open(job)

    def _page(self, link: Link, job: _Job) -> CustomerPage:
        opened, procedure = opened_of(job.entries[0]), job.session.procedure
        photos = photos_of(link.job)
        price_of = prices_of(link.job, job.session)
        return CustomerPage(
            procedure.title, opened.asset or procedure.machine, procedure.values == "invented", opened.rehearsal,
            tuple(hung.sha256 for number, hung in photos if not number),
            tuple(
                _offer(work, price_of(work), job.pictures, photos)
                for work in _with_waiting(job.works, waiting_answers(link.job))
            ), link.until_ms, own_text_of(link.job),
        )  # fmt: skip

    # Answers

    def answer(self, token: str, number: int, shown: str, *, granted: bool) -> None:
        """Take an answer to extra work; the same one twice from the page is one.

        Raises:
            NotShown: it was not taken, or changes nothing; the sentence says why.
        """
        link = self._link(token)
        job, waiting = self._job(link.job), waiting_answers(link.job)
        work = next((one for one in _with_waiting(job.works, waiting) if one.number == number), None)
        price = None if work is None else prices_of(link.job, job.session)(work)
        if work is None or digest_of(work, price) != shown:
            raise NotShown(_CHANGED, 409)
        if _says(work) == (GrantWay.PAGE, granted):
            return
        kept = [*(one.fact for one in job.entries), *(one.answer for one in waiting)]
        if sum(isinstance(one, CustomerAnswered) and one.number == number for one in kept) >= MOST_ANSWERS:
            raise NotShown(_ENOUGH, 429)
        self._put(link.job, work, price, granted=granted)
        works = _with_waiting(self._job(link.job).works, waiting_answers(link.job))
        after = next((one for one in works if one.number == number), None)
        if after is None or _says(after) != (GrantWay.PAGE, granted):
            raise NotShown(_LATE if after is None or digest_of(after, price) == shown else _CHANGED, 409)

    def _put(self, job: str, work: CustomerWork, price: PriceShown | None, *, granted: bool) -> None:
        def of(now: float) -> CustomerAnswered:
            return customer_answer(work, price, now, granted=granted)

        live = self._live
        if live is not None and live[0] == job:
            took = live[1](of)
            if took is not Took.KEPT:
                raise NotShown(*_NOT_TAKEN[took])
        else:
            self._put_at_desk(job, of)

    def _put_at_desk(self, name: str, of: MakesAnswer) -> None:
        """Write the answer down where nobody works on the job; it is told when somebody does again.

        What waits already comes first. Where another process works on the job, the answer waits for that one.
        """
        with self._lock:
            try:
                with open_journal(home(), make=False) as journal:
                    job = journal.hold(name, round(self._clock.now() * 1000))
                    entries = job.entries()
                    now = self._not_before(entries)
                    session = rebuild_session(entries, Thresholds())
                    take_in(job, waiting_answers(name), session, now)
                    reply = session.customer(as_it_counts(of(now), session.for_customer), now)
                    if not reply.facts:
                        raise NotShown(_CLOSED, 410)
                    job.append(reply.facts, round(now * 1000))
            except JobBusy:
                _keep(name, of(self._clock.now()))
            except (JournalFault, OSError) as fault:
                raise NotShown(_NOT_KEPT, 503) from fault


def _keep(job: str, answer: CustomerAnswered) -> None:
    """Let ``answer`` wait for whoever works on ``job``.

    Raises:
        NotShown: it cannot be kept.
    """
    try:
        keep_answer(job, answer)
    except OSError as fault:
        raise NotShown(_NOT_KEPT, 503) from fault


def _with_waiting(works: Sequence[CustomerWork], waiting: Sequence[KeptAnswer]) -> list[CustomerWork]:
    """Return ``works`` with the answers that wait beside the journal: to the customer they are given."""
    first = {one.answer.work: one.answer.granted for one in reversed(waiting)}
    return [replace(one, waits=first[one.work]) if one.is_open and one.work in first else one for one in works]


def _open(job: _Job) -> _Job:
    """Return ``job`` while it is open: with its end the page ends as well.

    Raises:
        NotShown: it is closed.
    """
    if any(isinstance(entry.fact, Closed) for entry in job.entries):
        raise NotShown(_CLOSED, 410)
    return job


def _says(work: CustomerWork) -> tuple[GrantWay | None, bool | None]:
    """Return how extra work was answered, and whether it was granted; None while nobody answered."""
    if work.waits is not None:
        return GrantWay.PAGE, work.waits
    match work.stands:
        case ExtraIs.GRANTED | ExtraIs.DONE:
            return work.way, True
        case ExtraIs.DECLINED:
            return work.way, False
    return None, None


def _offer(
    work: CustomerWork, price: PriceShown | None, pictures: Pictures, photos: Sequence[tuple[int, Hung]]
) -> OfferShown:
    way, granted = _says(work)
    by = "waits" if work.waits is not None else "you" if way is GrantWay.PAGE else "workshop"
    answer = "" if granted is None else "granted" if granted else "declined"
    answer = "done" if work.stands is ExtraIs.DONE and work.waits is None else answer
    shown = [hung.sha256 for number, hung in photos if number == work.number]
    step = pictures.get(work.picture)
    return OfferShown(
        work.number, work.title, work.text, work.severity.value if work.severity else "", work.minutes,
        price_text(price), (*shown, *([step.sha256] if step is not None and step.sha256 else [])),
        answer, by if answer else "", work.at_ms, digest_of(work, price),
    )  # fmt: skip
