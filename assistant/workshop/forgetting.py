"""Whether what people said in a job, and its photos, are gone from the store's rows and files, and from each bay."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault

_FORGOTTEN = """
SELECT j.name, e.sent_by, e.received_at, (SELECT min(s.at) FROM shop.swept s
         WHERE s.workshop = j.workshop AND s.job = j.name AND s.at > e.received_at),
       (SELECT count(*) FROM shop.photo p WHERE p.workshop = %(workshop)s AND p.month = j.month AND p.job = j.name)
  FROM shop.entry e JOIN shop.job j ON j.workshop = e.workshop AND j.name = e.job AND j.month = e.month
 WHERE e.workshop = %(workshop)s AND e.kind = 'forgotten' AND (%(job)s = '' OR e.job = %(job)s)
 ORDER BY e.received_at, j.name
"""
_COPIES = """
SELECT job, bay, fetched_at, forget_since, gone_at FROM shop.copy
 WHERE workshop = %(workshop)s AND (%(job)s = '' OR job = %(job)s) ORDER BY bay
"""
_TO_SWEEP = """
SELECT e.workshop, e.month, e.job FROM shop.entry e
 WHERE e.kind = 'forgotten' AND NOT EXISTS (SELECT 1 FROM shop.swept s
         WHERE s.workshop = e.workshop AND s.job = e.job AND s.at > e.received_at)
"""
# Who still sees what was there before the transaction %(mark)s, here or in a replica, keeps it in the files.
_OLD_READERS = """
SELECT coalesce(usename, backend_type), min(xact_start) FROM pg_stat_activity
 WHERE pid <> pg_backend_pid() AND (datname = current_database() OR datname IS NULL)
   AND backend_xmin IS NOT NULL AND age(backend_xmin) > age(%(mark)s::xid) GROUP BY 1
UNION ALL SELECT slot_name, NULL FROM pg_replication_slots WHERE xmin IS NOT NULL AND age(xmin) > age(%(mark)s::xid)
UNION ALL SELECT 'prepared ' || gid, prepared FROM pg_prepared_xacts WHERE database = current_database()
"""
_UNLEARN = """
DELETE FROM pg_catalog.pg_statistic s USING pg_catalog.pg_class c
 WHERE c.oid = s.starelid AND c.relnamespace = 'shop'::regnamespace
   AND (c.relname = ANY(%(months)s) OR c.relname ~ '^words' OR c.relname ~ '^(personal|photo)' AND c.relkind = 'p')
"""
_LOOKS_EVERY_S = 0.25


@dataclass(frozen=True, slots=True)
class JobCopy:
    """The copy of a job in a bay: since when, and when the bay confirmed that nothing personal is left in it."""

    bay: str
    fetched_at: datetime
    gone_at: datetime | None


@dataclass(slots=True)
class ForgottenJob:
    """A job that was forgotten: by which bay, when the store's rows went, since when they are out of its files too.

    ``photos`` counts the photos of it that the store has: none, unless somebody took the guards of its tables away.
    """

    job: str
    by: str
    gone_at: datetime
    swept_at: datetime | None
    photos: int = 0
    copies: list[JobCopy] = field(default_factory=list)

    @property
    def everywhere(self) -> bool:
        """Whether every copy that is known is rid of what was said, and of the photos."""
        return self.swept_at is not None and not self.photos and all(one.gone_at for one in self.copies)


def forgotten_jobs(link: CentralLink, workshop: str, job: str = "") -> list[ForgottenJob]:
    """Return the jobs of ``workshop`` that were forgotten (``job`` alone, if it is given), the oldest first."""
    asked = {"workshop": workshop, "job": job}
    found = {row[0]: ForgottenJob(*row) for row in link.ask(_FORGOTTEN, asked)}
    for name, bay, fetched_at, since, gone_at in link.ask(_COPIES, asked):
        if since is not None and name in found:
            found[name].copies.append(JobCopy(bay, fetched_at, gone_at))
    return list(found.values())


def sweep(link: CentralLink, wait_s: float) -> list[tuple[str, str]]:
    """Write the tables anew in which forgotten jobs had what people said, so that their files hold nothing of it.

    PostgreSQL keeps the bytes of a removed row until its place is used again; a table that is written anew has none. It
    is locked meanwhile: bays go on, and send later. Whoever still reads what was there before is waited for, at most
    ``wait_s`` [s]. Logs of the server that are written ahead, and backups, keep it until they go (docs/workshop.md).

    Returns:
        Workshop and name of the jobs that are out of the files now.

    Raises:
        CentralFault: the login may not; or somebody still reads what was there before: nothing was written anew then.
    """
    jobs: list[tuple[str, date, str]] = [(row[0], row[1], row[2]) for row in link.ask(_TO_SWEEP)]
    if not jobs:
        return []
    _wait_for_readers(link, wait_s)
    # What the planner knows of the most common values stays as it was where a table is empty now, and above partitions.
    months = sorted(
        {f"{what}_{workshop}_{month:%Y_%m}" for workshop, month, _ in jobs for what in ("personal", "photo")}
    )
    link.ask(_UNLEARN, {"months": months})
    for table in months:
        if link.one("SELECT 1 WHERE to_regclass(format('shop.%%I', %s::text)) IS NOT NULL", (table,)) is not None:
            link.ask(f'VACUUM (FULL, ANALYZE) shop."{table}"')
    if link.one("SELECT 1 WHERE to_regclass('shop.words') IS NOT NULL") is not None:
        link.ask("VACUUM (FULL, ANALYZE) shop.words")
    link.ask("VACUUM FULL pg_catalog.pg_statistic")
    link.ask("CHECKPOINT")
    for workshop, _, job in jobs:
        link.ask("INSERT INTO shop.swept (workshop, job) VALUES (%s, %s)", (workshop, job))
    return [(workshop, job) for workshop, _, job in jobs]


def _wait_for_readers(link: CentralLink, wait_s: float) -> None:
    (mark,) = link.ask("SELECT pg_current_xact_id()::xid::text")[0]
    waited = 0.0
    while readers := link.ask(_OLD_READERS, {"mark": mark}):
        if waited >= wait_s:
            who = ", ".join(f"{name} since {at:%H:%M:%S}" if at else str(name) for name, at in readers[:4])
            raise CentralFault(
                f"Somebody still reads what was there before ({who}); nothing was done. Try again when that has ended."
            )
        link.ask("SELECT pg_sleep(%s)", (_LOOKS_EVERY_S,))
        waited += _LOOKS_EVERY_S
