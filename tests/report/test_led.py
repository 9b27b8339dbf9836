"""What the record says of an answer that led to work of its own: open until all of that work is done."""

from assistant.report.record.build import build_record
from tests.jobs import kept
from tests.session.bench import Bench
from tests.session.turning import LID, lid_and_rail

TOO_HIGH = "step 3, Measure the play of the rail"


def record(*said, to_end=True):
    """Return the record of a job in which the play is too high, that work is granted, and ``said`` comes behind it."""
    bench = Bench(lid_and_rail(), procedure_yaml=LID.read_text("utf-8"))
    bench.lead_to("play")
    bench.hears("reading point five", "confirmed", "yes", "the customer", "in person", "confirmed", *said)
    if to_end:
        bench.lead_to_end()
    _, entries = kept([fact for fact, _ in bench.entries], 1)
    return build_record("job", entries)


def play(job):
    return next(row for row in job.steps if row.id == "play")


def test_an_answer_whose_work_is_done_is_told_and_not_open():
    job = record("next")
    assert "led to: set the play, done" in play(job).results
    assert any("0.5 mm" in result for result in play(job).results), "what was read stays"
    assert job.open == ()


def is_open(job):
    return any(one.what.startswith(TOO_HIGH) for one in job.open)


def test_an_answer_whose_work_is_left_out_stays_open():
    job = record("skip this", "told", "end note", "confirmed")
    assert not any(result.startswith("led to") for result in play(job).results)
    assert is_open(job)


def test_an_answer_whose_work_is_not_done_yet_stays_open():
    assert is_open(record(to_end=False))


def test_an_answer_that_leads_there_once_more_is_open_until_the_work_is_done_once_more():
    again = ("next", "go back", "go back", "reading point five", "confirmed")
    assert is_open(record(*again, to_end=False))
    assert not is_open(record(*again))


def test_an_answer_that_is_taken_back_and_right_says_nothing_of_the_work():
    job = record("take that back", "confirmed", "take that back", "confirmed", "reading point two")
    assert not any(result.startswith("led to") for result in play(job).results)
