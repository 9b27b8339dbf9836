"""Answers of customers that wait beside the journal, because another process works on their job.

Each is a small file in the folder of its job, on disk before the customer is told that it is kept. Whoever holds the
job writes it into the journal, together with the name of its file, and removes the file then: after a power cut between
the two the name tells that it was taken in, so none is lost and none counts twice.
"""

from __future__ import annotations

import json
import os
import re
import secrets
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from assistant.customer.answer import as_it_counts
from assistant.customer.links import customer_folder
from assistant.facts import Fact
from assistant.facts.base import FactFault
from assistant.facts.bay import AnswerCollected
from assistant.facts.customer import CustomerAnswered
from assistant.facts.store import dump, load, with_fields
from assistant.files import FileFault, private_folder, read_file
from assistant.journal.port import JobHandle
from assistant.session.session import Session
from assistant.settings import home

_NAME = re.compile(r"answer-[0-9]{1,15}-[0-9a-f]{16}", re.ASCII)
_MOST_BYTES = 4_000


@dataclass(frozen=True, slots=True)
class KeptAnswer:
    """An answer that waits: the name of its file, without its ending, and what the customer answered."""

    name: str
    answer: CustomerAnswered

    def at(self, now: float) -> CustomerAnswered:
        """Return the answer as it is taken in at ``now`` [s since the epoch]: never from a time that is to come."""
        return with_fields(self.answer, at_ms=min(self.answer.at_ms, round(now * 1000)))

    @property
    def collected(self) -> AnswerCollected:
        """Return the entry that it was taken in."""
        return AnswerCollected(note=self.name, kept_ms=self.answer.at_ms)


def keep_answer(job: str, answer: CustomerAnswered) -> None:
    """Keep ``answer`` until whoever works on ``job`` takes it in; it is on disk when this returns.

    Raises:
        OSError: it cannot be kept.
    """
    folder = private_folder(private_folder(customer_folder(job).parent, ours=True) / job, ours=True)
    kind, version, data = dump(answer)
    path = folder / f"answer-{answer.at_ms}-{secrets.token_hex(8)}.json"
    beside = path.with_name(f".{path.name}")
    try:
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as file:
            json.dump({"kind": kind, "version": version, "data": data}, file)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
        entries = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(entries)
        finally:
            os.close(entries)
    finally:
        beside.unlink(missing_ok=True)


def waiting_answers(job: str) -> list[KeptAnswer]:
    """Return the answers to ``job`` that wait, the oldest first; what is no answer is left where it lies."""
    found = []
    for path in customer_folder(job).glob("answer-*.json"):
        data = read_file(path, _MOST_BYTES, "an answer", no_link=True)
        if isinstance(data, FileFault) or not _NAME.fullmatch(path.stem):
            continue
        try:
            kept = json.loads(data)
            fact = load(str(kept["kind"]), int(kept["version"]), kept["data"])
        except (FactFault, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            continue
        if isinstance(fact, CustomerAnswered):
            found.append(KeptAnswer(path.stem, fact))
    return sorted(found, key=lambda one: (one.answer.at_ms, one.name))


def jobs_with_answers() -> list[str]:
    """Return the jobs that answers wait for, by name."""
    folder = home() / "customer"
    return sorted({path.parent.name for path in folder.glob("*/answer-*.json")}) if folder.is_dir() else []


def drop_answer(job: str, name: str) -> None:
    """Remove the answer ``name``, which the journal has now.

    Raises:
        OSError: it cannot be removed.
    """
    (customer_folder(job) / f"{name}.json").unlink(missing_ok=True)


def collected_in(facts: Iterable[Fact]) -> set[str]:
    """Return the names of the answers that were taken in, as ``facts`` of the journal tell."""
    return {fact.note for fact in facts if isinstance(fact, AnswerCollected)}


def take_in(job: JobHandle, waiting: Sequence[KeptAnswer], session: Session, now: float) -> None:
    """Write what waits for ``job``, which nobody works on, into the journal at ``now`` [s since the epoch].

    ``session`` is that of the job. A closed job takes nothing, and what waits for it stays.

    Raises:
        JournalFault: the journal cannot take it.
        OSError: a file cannot be removed.
    """
    there = collected_in(entry.fact for entry in job.entries())
    for one in waiting:
        if one.name not in there:
            reply = session.customer(as_it_counts(one.at(now), session.for_customer), now)
            if not reply.facts:  # the job is closed
                continue
            job.append((*reply.facts, one.collected), round(now * 1000))
        drop_answer(job.id, one.name)
