"""A reminder outlasts the end of the program, a hand-over and the clock; what nobody wanted is never told."""

from __future__ import annotations

from tests.session.bench import Bench
from tests.session.jobs import pump


def test_it_is_told_after_the_job_was_taken_up_again() -> None:
    bench = Bench(pump())
    bench.lead_to("cold")
    bench.hear("remind me in five minutes")
    bench.resume()
    bench.wait(200)
    assert "A reminder" not in " ".join(bench.spoken)
    bench.wait(110)
    assert bench.spoken[-1].startswith("A reminder: five minutes are over.")


def test_one_that_came_due_while_nobody_was_there_is_told_at_the_return() -> None:
    bench = Bench(pump())
    bench.lead_to("cold")
    bench.hear("remind me in five minutes")
    bench.now += 900
    bench.resume()
    assert "A reminder: five minutes are over." in bench.spoken[-1]


def test_one_that_was_dropped_is_not_told_and_its_number_is_not_given_again() -> None:
    bench = Bench(pump())
    bench.lead_to("cold")
    bench.hears("remind me in five minutes", "forget to remind me", "remind me in six minutes")
    bench.wait(330)
    assert "A reminder" not in " ".join(bench.spoken)
    bench.wait(60)
    assert bench.spoken[-1].startswith("A reminder: six minutes are over.")
    assert [fact.number for fact, _ in bench.entries if fact.KIND == "reminder_set"] == [1, 2]
