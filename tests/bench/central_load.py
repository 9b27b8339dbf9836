"""Fills a central store with the jobs of a year, on the server itself: whole demo jobs with true chains, job by job."""

from __future__ import annotations

import json
import threading
from contextlib import closing

from assistant.central.link import CentralLink
from assistant.central.place import CentralPlace
from assistant.journal.canonical import canonical
from assistant.journal.chain import Head, link
from assistant.journal.forms import forms
from assistant.journal.personal import seal
from tests.bench.central_bays import START_MS, mould

MACHINES = 50
"""So many machines each workshop has."""
BAYS = 5
# All that was sealed gets words of its own in each job: the machine, and a number behind every text. So a digest
# differs, and with it the entry and its hash, from job to job.
_FILL = """
CREATE OR REPLACE PROCEDURE pg_temp.fill(shop_name text, jobs integer, days integer, chained boolean)
LANGUAGE plpgsql AS $$
DECLARE
    ones pg_temp.mould[] := ARRAY(SELECT m FROM pg_temp.mould m ORDER BY seq);
    many integer := array_length(ones, 1);
    one pg_temp.mould;
    said record;
    job_name text;
    opened bigint;
    month date;
    hashes bytea[];
    bodies text[];
    tail bytea;
    words text;
    bay text;
BEGIN
    FOR n IN 1 .. jobs LOOP
        opened := :start_ms + ((n::bigint - 1) * days * 86400000) / jobs;
        month := date_trunc('month', to_timestamp(opened / 1000.0) AT TIME ZONE 'UTC');
        bay := 'bay' || (1 + n % :bays);
        job_name := bay || '-' || to_char(to_timestamp(opened / 1000.0) AT TIME ZONE 'UTC', 'YYYY-MM-DD') || '-' || n;
        PERFORM shop.make_room(shop_name, month);
        tail := decode(repeat('00', 32), 'hex');
        hashes := ARRAY[]::bytea[]; bodies := ARRAY[]::text[];
        FOR i IN 1 .. many LOOP
            one := ones[i];
            IF one.has_said THEN
                FOR said IN SELECT * FROM pg_temp.mould_said s WHERE s.seq = one.seq LOOP
                    words := CASE said.key WHEN 'asset' THEN '"Unit ' || (1 + n % :machines) || '"'
                             ELSE left(said.value, -1) || ' w' || n || '"' END;
                    one.data := replace(one.data, said.digest,
                                        encode(sha256(convert_to(said.salt || words, 'UTF8')), 'hex'));
                    INSERT INTO shop.personal VALUES (shop_name, month, job_name, one.seq, said.key, said.salt, words);
                END LOOP;
            END IF;
            IF chained THEN  -- as shop.chain_hash has it, which is slower to call
                tail := sha256(convert_to('[' || to_json(job_name) || ',' || one.seq || ',' || (opened + one.after_ms)
                    || ',' || to_json(one.kind) || ',' || one.version || ',' || one.cause || ',' || to_json(one.data)
                    || ','
                    || to_json(encode(tail, 'hex')) || ']', 'UTF8'));
            ELSE
                tail := one.hash;
            END IF;
            hashes[i] := tail; bodies[i] := one.data;
        END LOOP;
        INSERT INTO shop.entry
        SELECT shop_name, month, job_name, m.seq, opened + m.after_ms, m.kind, m.version, m.cause, bodies[m.seq],
               coalesce(hashes[m.seq - 1], decode(repeat('00', 32), 'hex')), hashes[m.seq], bay
          FROM unnest(ones) AS m;
        INSERT INTO shop.job (workshop, name, bay, month, opened_ms, last_ms, title, procedure_id, rehearsal, turn, seq,
                              hash)
        VALUES (shop_name, job_name, bay, month, opened, opened + one.after_ms, 'Coolant pump cover',
                'coolant-pump-cover', false, 'closed', many, tail);
        IF n % 50 = 0 THEN COMMIT; END IF;
    END LOOP;
END $$
"""
_WORDS = """
INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
SELECT p.workshop, p.month, p.job, p.seq, p.key, e.kind, coalesce(shop.text_in(e.data, 'step'), ''), e.at_ms,
       shop.vector(p.workshop, shop.plain_text(p.value))
  FROM shop.personal p JOIN shop.entry e USING (workshop, month, job, seq)
 WHERE p.workshop = %(shop)s AND e.workshop = %(shop)s AND shop.is_searched(e.kind, p.key)
ON CONFLICT DO NOTHING
"""
_TITLES = """
INSERT INTO shop.words (workshop, month, job, seq, key, kind, step, at_ms, found)
SELECT j.workshop, j.month, j.name, 0, 'title', 'job', '', j.opened_ms,
       shop.vector(j.workshop, j.title || ' ' || j.procedure_id || ' ' || j.name || ' ' || j.bay)
  FROM shop.job j WHERE j.workshop = %(shop)s ON CONFLICT DO NOTHING
"""


def fill(place: CentralPlace, names: list[str], jobs: int, *, days: int, chained: bool, links: int = 2) -> int:
    """Put ``jobs`` whole jobs into each of the workshops ``names``, spread over ``days``, by ``links`` links at once.

    Returns how many entries each job has. The store's triggers are off meanwhile: what they would check is true by the
    way it is made, and a job that is proved afterwards shows it.
    """
    rest = list(reversed(names))
    faults: list[Exception] = []

    def work() -> None:
        try:
            with closing(CentralLink(place, answer_s=24 * 3600)) as admin:
                _mould(admin)
                while rest:
                    name = rest.pop()
                    admin.ask("CALL pg_temp.fill(%s, %s, %s, %s)", (name, jobs, days, chained))
                    admin.ask(_WORDS, {"shop": name})
                    admin.ask(_TITLES, {"shop": name})
        except Exception as fault:  # noqa: BLE001 - told by the thread that waits
            faults.append(fault)

    workers = [threading.Thread(target=work) for _ in range(links)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    if faults:
        raise RuntimeError(str(faults[0]))
    return len(mould())


def _mould(admin: CentralLink) -> None:
    """Put the demo job beside the store for this link, with what was said in it."""
    admin.ask("SET session_replication_role = replica")
    admin.ask("SET synchronous_commit = off")
    entries = mould()
    sealed, kept = seal(forms([entry.fact for entry in entries], 1), 1)
    stored = link("mould", Head(), sealed, START_MS)
    admin.ask(
        "CREATE TEMP TABLE mould (seq integer, after_ms bigint, kind text, version integer, cause integer, data text,"
        " hash bytea, has_said boolean)"
    )
    admin.ask("CREATE TEMP TABLE mould_said (seq integer, key text, salt text, value text, digest text)")
    for entry, one in zip(entries, stored, strict=True):
        after_ms = entry.at_ms - entries[0].at_ms
        values = (one.seq, after_ms, one.kind, one.version, entry.cause, one.data, bytes.fromhex(one.hash))
        admin.ask("INSERT INTO mould VALUES (%s, %s, %s, %s, %s, %s, %s)", values)
    for said in kept:
        if isinstance(json.loads(said.value), str):
            values = (said.seq, said.key, said.salt, canonical(json.loads(said.value)), said.digest)
            admin.ask("INSERT INTO mould_said VALUES (%s, %s, %s, %s, %s)", values)
    admin.ask("UPDATE mould SET has_said = seq IN (SELECT seq FROM mould_said)")
    text = _FILL
    for name, value in (("start_ms", START_MS), ("bays", BAYS), ("machines", MACHINES)):
        text = text.replace(f":{name}", str(value))
    admin.ask(text)
