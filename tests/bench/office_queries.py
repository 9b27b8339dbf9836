"""How long the office waits: ``python -m tests.bench.office_queries [--workshops N]``. Real PostgreSQL, filled by hand.

A store of so many workshops, each with 3,000 jobs and 99,000 entries of a year in twelve partitions (100 workshops: 9.9
million entries), and 9,000 searchable texts for each. The rows are put in past the guards of the store, since it is the
reading that is measured: what many jobs tell, what one job tells, and the search. The limit is on the median of nine
calls behind the first, which opens partitions and reads procedures, and is told beside it.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import statistics
import sys
import time
from collections.abc import Callable
from datetime import date

import msgspec

from assistant.central.link import CentralLink
from assistant.central.migrating import migrate
from assistant.desk.shop import shop_list
from assistant.facts import dump
from assistant.facts.going import Closed
from assistant.journal.opening import open_central
from assistant.office.cards import OfficeCards
from assistant.office.desk import OfMachine
from assistant.office.links import Links
from assistant.office.tools import tool_rows
from assistant.workshop.members import add_member, add_workshop
from tests.central.server import QUICK, Server
from tests.jobs import DEMOS, ROOT

JOBS, ENTRIES_OF_JOB = 3000, 33
LIMIT_MS = 200.0
CALLS = 9
_MACHINES = 400
_PROCEDURES = 40

_FIRST_MS = 1_767_225_600_000
"""1 January 2026."""

_TEXTS = """
CREATE TEMP TABLE said AS SELECT n AS number, to_tsvector('english', t) || to_tsvector('simple', t) AS found
  FROM generate_series(0, 1999) n, LATERAL (
       SELECT 'the gasket was leaking at place' || n % 500 || ' rare' || n || ' beside the pump ' || n % 50) AS s(t)"""
_FILL_JOBS = """
INSERT INTO shop.job (workshop, name, bay, month, opened_ms, last_ms, title, procedure_id, rehearsal, turn, seq, hash)
SELECT %(w)s, 'bay' || (n %% 5 + 1) || '-2026-' || lpad((n %% 12 + 1)::text, 2, '0') || '-' || n, 'bay' || (n %% 5 + 1),
       make_date(2026, n %% 12 + 1, 1), %(first)s + n * 10000000::bigint, %(first)s + n * 10000000::bigint + 3600000,
       'Work ' || n %% %(procedures)s, 'work-' || n %% %(procedures)s, false, 'closed', %(entries)s,
       sha256(n::text::bytea)
  FROM generate_series(1, %(jobs)s) n"""
_FILL_ENTRIES = """
INSERT INTO shop.entry (workshop, month, job, seq, at_ms, kind, version, cause, data, prev, hash, sent_by)
SELECT workshop, month, name, s, opened_ms + s * 1000, CASE WHEN s = 1 THEN 'opened' WHEN s = %(entries)s THEN 'closed'
       WHEN s %% 2 = 0 THEN 'heard' WHEN s %% 6 = 1 THEN 'tightened' WHEN s %% 6 = 3 THEN 'step_done' ELSE 'note' END,
       1, 0,
       CASE WHEN s = 1 THEN replace((%(opened)s::text[])[number %% array_length(%(opened)s::text[], 1) + 1], 'THE-HASH',
                                    (number %% %(procedures)s)::text)
            WHEN s = %(entries)s THEN %(closed)s WHEN s %% 6 = 1 THEN %(tightened)s ELSE '{"step": "one"}' END,
       sha256('a'), sha256('b'), bay FROM shop.job, generate_series(1, %(entries)s) s WHERE workshop = %(w)s"""
_FILL_SAID = """
INSERT INTO shop.personal (workshop, month, job, seq, key, salt, value)
SELECT workshop, month, name, 1, key, repeat('a', 32),
       to_json(CASE key WHEN 'asset' THEN 'Machine ' || number %% %(machines)s ELSE 'Kim' END)::text
  FROM shop.job, unnest(ARRAY['asset', 'operator']) key WHERE workshop = %(w)s"""
_FILL_WORDS = """
INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
SELECT j.workshop, j.month, j.name, k, 'text', 'note', 'one', j.opened_ms + k,
       array_to_tsvector(ARRAY['@' || j.workshop]) || t.found
  FROM shop.job j, generate_series(0, 2) k, said t
 WHERE j.workshop = %(w)s AND t.number = (j.number * 3 + k) %% 2000"""


def _opened(text: str, *, whole: bool) -> str:
    """Return the first entry of a job as it is stored, with a whole procedure and tool file or short ones."""
    tools = (ROOT / "procedures/tools/practice-bay.yaml").read_text("utf-8") if whole else "wrenches: []"
    return json.dumps({
        "title": "Work", "procedure_id": "work", "procedure_revision": "1", "procedure_sha256": "THE-HASH",
        "procedure_file": "work.yaml", "procedure_yaml": text if whole else "", "asset": {"sealed": "a"},
        "operator": {"sealed": "b"}, "approved": "yes", "program": "bench",
        "tools": {"name": "tools.yaml", "yaml": tools, "sha256": "tools", "clicks": {}},
    })  # fmt: skip


TIGHTENED = json.dumps({
    "step": "one", "stage": 1, "turn": 1, "run": 1, "group": "cover", "bolts": [1, 2, 3], "way": "torque",
    "target": {"value": "20", "unit": "N·m"}, "limits": {"low": None, "high": None}, "tool": "small-wrench",
    "clicks": 3,
})  # fmt: skip


CLOSED = Closed(**{one.name: () for one in msgspec.structs.fields(Closed) if one.required})


def fill(link: CentralLink, workshops: int) -> None:
    """Fill an empty store; the first workshop has whole procedures, the others short ones."""
    migrate(link)
    link.ask(_TEXTS)
    link.ask("SET session_replication_role = replica")
    texts = [path.read_text("utf-8") for path in DEMOS]
    for number in range(workshops):
        workshop = f"shop{number}"
        add_workshop(link, workshop)
        for month in range(1, 13):
            link.ask("SELECT shop.make_room(%s, make_date(2026, %s, 1))", (workshop, month))
        asked = {
            "w": workshop, "first": _FIRST_MS, "jobs": JOBS, "entries": ENTRIES_OF_JOB, "procedures": _PROCEDURES,
            "machines": _MACHINES, "tightened": TIGHTENED, "closed": json.dumps(dump(CLOSED)[2]),
            "opened": [_opened(text, whole=number == 0) for text in texts],
        }  # fmt: skip
        for statement in (_FILL_JOBS, _FILL_ENTRIES, _FILL_SAID, _FILL_WORDS):
            link.ask(statement, asked)
    link.ask("SET session_replication_role = origin")
    link.ask("VACUUM ANALYZE")


def measure(tell: Callable[[str], None], workshops: int) -> list[tuple[str, float, float, float]]:
    """Return of each question its name, the median and the longest of the calls but the first, and the first [ms]."""
    server = Server(None, *QUICK, "shared_buffers=512MB", "max_wal_size=4GB", "max_locks_per_transaction=2048")
    try:
        place = server.database("bench")
        with contextlib.closing(CentralLink(place, answer_s=1800)) as admin:
            begun = time.perf_counter()
            fill(admin, workshops)
            (count,) = admin.one("SELECT sum(seq) FROM shop.job") or (0,)
            (size,) = admin.one("SELECT pg_size_pretty(pg_database_size(current_database()))") or ("",)
            tell(f"{count:,} entries, {size}, filled in {time.perf_counter() - begun:.0f} s")
            login = add_member(admin, "shop0", "office", office=True)
        office = server.place("bench", *login)
        with contextlib.closing(CentralLink(office, answer_s=60)) as link, open_central(office) as journal:
            return _asked(tell, link, Links(office), journal)
    finally:
        server.remove()


def _asked(tell, link, links, journal) -> list[tuple[str, float, float, float]]:
    cards = OfficeCards()
    begun = time.perf_counter()
    cards.bring_up(link, "shop0")
    tell(f"first reading of the workshop: {time.perf_counter() - begun:.1f} s")
    name = cards.shown.jobs[7].id
    tell(f"{len(json.loads(shop_list(cards.shown, 'due', ''))):,} lines are due")
    today = date(2026, 12, 1)

    def search(words: str) -> None:
        link.ask("SELECT * FROM shop.search(%s, 50)", (words,))

    def again() -> None:
        one = OfficeCards()
        one.shown = cards.shown
        one._texts = cards._texts
        one._read(link, "shop0", {row[0]: row for row in _rows(link, name)})

    questions: dict[str, Callable[[], object]] = {
        "all jobs compared": lambda: cards.bring_up(link, "shop0"),
        "one job that went on": again,
        "what is due": lambda: shop_list(cards.shown, "due", ""),
        "machines": lambda: shop_list(cards.shown, "machines", ""),
        "history of a machine": lambda: shop_list(OfMachine(cards.shown, links, "machine 7"), "machine", "machine 7"),
        "tools": lambda: tool_rows(cards.shown, today),
        "entries of a job": lambda: journal._rows.kept_of(name),
        "search, a word of every note": lambda: search("gasket"),
        "search, a rare word": lambda: search("rare77"),
        "search, a phrase without a word": lambda: search('"gasket was leaking" pump -rare5'),
        "search, nothing": lambda: search("gasket unobtainable"),
    }
    return [_timed(what, question) for what, question in questions.items()]


def _rows(link: CentralLink, name: str) -> list[tuple]:
    from assistant.office.cards import JOB_LINES

    return link.ask(JOB_LINES, {"mine": "shop0", "names": [name]})


def _timed(what: str, question: Callable[[], object]) -> tuple[str, float, float, float]:
    times = []
    for _ in range(CALLS + 1):
        begun = time.perf_counter()
        question()
        times.append((time.perf_counter() - begun) * 1000)
    return what, statistics.median(times[1:]), max(times[1:]), times[0]


def main() -> int:
    """Print the figures; 1 when a median is over the limit."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--workshops", type=int, default=100)
    figures = measure(lambda line: print(line, flush=True), parser.parse_args().workshops)
    for what, middle, most, first in figures:
        print(f"{what:32} {middle:7.1f} ms (longest {most:.0f}, first {first:.0f})")
    return int(any(middle > LIMIT_MS for _, middle, _, _ in figures))


if __name__ == "__main__":
    sys.exit(main())
