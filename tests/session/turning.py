"""A procedure with branches and offers, and jobs in which all that belongs to them happens. Invented values."""

from __future__ import annotations

from pathlib import Path

from assistant.facts import Fact
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Procedure
from tests.session.bench import Bench

LID = Path(__file__).parents[1] / "typed/procedures/lid-and-rail.yaml"


def lid_and_rail() -> Procedure:
    """Return the procedure."""
    return read_procedure(LID).usable


def worn_rail() -> Procedure:
    """Return a procedure with work that must be granted, and behind which the job stops."""
    return read_procedure(LID.parent / "worn-rail.yaml").usable


def turnings() -> list[Fact]:
    """Return the entries of jobs in which branches open, stop and end, and extra work is granted, declined and done."""
    bench = Bench(lid_and_rail())
    bench.lead_to("lid")
    bench.hears("next", "ask later", "no", "confirmed", "go back", "yes", "go back", "no", "confirmed")
    bench.hears("next", "next", "count two", "count one", "yes")
    bench.hears("go back", "next", "yes")  # it was asked again, and is as it should be
    bench.hears("reading point five", "confirmed", "no", "go back", "reading point two")
    bench.hears("extra work one granted", "the customer", "by telephone", "confirmed", "start extra work", "next")
    bench.hears("next", "count one", "i found something", "the seal weeps", "end note", "it is at step two")
    bench.hears("before it runs", "confirmed", "extra work granted", "the office", "in person", "confirmed")
    bench.hears("extra work three is done", "confirmed")
    bench.hears("i found something", "a mark on the plate", "end note", "only watch it", "confirmed")
    bench.hears("i found something", "a loose clip", "end note")
    bench.wait(120)
    bench.hears("extra work five declined", "confirmed", "finish job", "told", "end note", "confirmed")
    stops = Bench(lid_and_rail())
    stops.lead_to("play")
    stops.hears("reading point zero five", "confirmed", "next", "next", "skip this", "told", "end note", "confirmed")
    stops.hears("go back", "go back", "go back", "reading point five", "confirmed", "go back", "reading point two")
    stops.hears("i found something", "a scratch", "end note", "before it runs", "confirmed")
    stops.hears("finish job", "told", "end note", "confirmed")
    return [fact for bench in (bench, stops) for fact, _ in bench.entries]
