"""When work is due again: against the published examples, a reference library, and figures reckoned by hand."""

import random
import re
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import MONTHLY, rrule
from icalendar import Calendar

from assistant.cli.printing import due_list
from assistant.cli.printing.meter import add_meter
from assistant.cli.printing.options import DueOptions
from assistant.facts import Quantity
from assistant.fastening.calibration import months_later
from assistant.faults import Fault
from assistant.kept.due_jobs import due_lines
from assistant.kept.job_card import card_facts
from assistant.kept.label import label_texts
from assistant.kept.options import CardOptions
from assistant.procedure.interval import parse_interval
from assistant.procedure.model import Interval
from assistant.report.calendar_file import Reminder, calendar_file
from assistant.report.due import DueState, Meter, Seen, next_due, parse_meter, rate_per_day
from assistant.report.meters import readings
from assistant.terminal.exits import Exit, Refusal
from tests.jobs import SHORT, work

D = date.fromisoformat


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [  # python-dateutil 2.9.0, relativedelta; the rule is XML Schema Part 2, appendix E
        ("2024-01-31", 1, "2024-02-29"), ("2023-01-31", 1, "2023-02-28"), ("2025-05-31", 1, "2025-06-30"),
        ("2024-08-31", 6, "2025-02-28"), ("2023-08-31", 6, "2024-02-29"), ("2025-11-30", 3, "2026-02-28"),
        ("2024-02-29", 12, "2025-02-28"), ("2024-02-29", 48, "2028-02-29"), ("2023-02-28", 12, "2024-02-28"),
        ("2024-03-31", -1, "2024-02-29"), ("2026-01-31", 2, "2026-03-31"),
        # XML Schema Part 2, appendix E: 2000-03-30 + P1D + P1M, P1M + P1D, and 2000-01 - P3M
        ("2000-03-31", 1, "2000-04-30"), ("2000-03-30", 1, "2000-04-30"), ("2000-01-01", -3, "1999-10-01"),
    ],
)  # fmt: skip
def test_months_end_where_the_published_examples_say(start, months, end):
    assert months_later(D(start), months) == D(end)


def test_months_agree_with_the_reference_library_on_any_day():
    rng = random.Random(5)
    for _ in range(3000):
        day = date(1990, 1, 1) + timedelta(days=rng.randrange(30_000))
        months = rng.randrange(0, 600)
        assert months_later(day, months) == day + relativedelta(months=months)


def test_a_service_is_never_skipped_as_a_recurrence_would():
    """RFC 5545, 3.3.10: a monthly rule from the 31st leaves short months out; an interval ends on their last day."""
    start = datetime(2026, 1, 31)  # noqa: DTZ001 - a day, no moment
    recurring = [day.date() for day in rrule(MONTHLY, dtstart=start, count=6)]
    assert recurring == [D(f"2026-{day}") for day in ("01-31", "03-31", "05-31", "07-31", "08-31", "10-31")]
    ours = [months_later(start.date(), months) for months in range(6)]
    last_days = [day.date() for day in rrule(MONTHLY, dtstart=start, count=6, bymonthday=-1)]
    assert ours == last_days


def km(value):
    return Meter(Decimal(value), "km")


YEAR = Interval(Decimal(15_000), "km", None, 12)
HALF = Interval(Decimal(10_000), "km", None, 6)
FIRST, APRIL = Seen(D("2026-01-01"), km(42_000)), D("2026-04-11")


@pytest.mark.parametrize(
    ("interval", "seen", "rate", "by_use", "due"),
    [  # reckoned by hand: (46 000 - 42 000) / 100 days = 40 km a day; 57 000 km after 275 days; and so on
        (YEAR, [FIRST, Seen(APRIL, km(46_000))], 40, "2027-01-11", "2027-01-01"),
        (YEAR, [FIRST, Seen(APRIL, km(44_000))], 20, "2028-01-21", "2027-01-01"),
        (HALF, [Seen(D("2025-08-31"), km(80_000)), Seen(D("2026-02-27"), km(86_000))], Fraction(100, 3), "2026-06-27",
         "2026-02-28"),
    ],
)  # fmt: skip
def test_whichever_comes_first(interval, seen, rate, by_use, due):
    assert rate_per_day(seen) == rate
    found = next_due(interval, seen[0].on, seen[0].meter, seen, seen[-1].on, 0)
    assert (found.by_use, found.on) == (D(by_use), D(due))


def test_due_at_the_distance_and_overdue_behind_it():
    for reading, state in ((56_999, DueState.COMING), (57_000, DueState.DUE), (57_001, DueState.OVERDUE)):
        found = next_due(YEAR, FIRST.on, FIRST.meter, [FIRST, Seen(APRIL, km(reading))], APRIL, 0)
        assert found.state is state, reading


def test_due_on_the_day_and_overdue_behind_it():
    for today, state in (
        ("2026-12-01", DueState.LATER), ("2026-12-02", DueState.COMING), ("2027-01-01", DueState.DUE),
        ("2027-01-02", DueState.OVERDUE),
    ):  # fmt: skip
        assert next_due(YEAR, FIRST.on, FIRST.meter, [FIRST], D(today), 30).state is state, today


@pytest.mark.parametrize(
    "seen",
    [
        [FIRST],
        [FIRST, Seen(D("2026-01-07"), km(43_000))],
        [FIRST, Seen(APRIL, km(42_000))],
        [FIRST, Seen(APRIL, km(100), restart=True)],
    ],
    ids=["one reading", "six days", "did not move", "new instrument"],
)
def test_no_forecast_from_too_little(seen):
    assert rate_per_day(seen) is None
    found = next_due(YEAR, FIRST.on, FIRST.meter, seen, APRIL, 0)
    assert (found.by_use, found.on) == (None, D("2027-01-01"))
    assert found.why


def test_miles_are_exact():
    """1 mi = 1.609344 km (1959): 10 000 mi are 16 093.44 km."""
    assert Meter(Decimal(10_000), "mi").size == Fraction(1_609_344, 100)
    found = next_due(Interval(Decimal(10_000), "mi"), FIRST.on, km(0), [Seen(FIRST.on, km(16_093))], APRIL, 0)
    assert found.at == km(16_093)


@pytest.mark.parametrize("text", ["", "km", "12", "-5km", "12 kg", "1e5km", "123456789km", "12.345km", "١٢km"])
def test_what_is_no_reading_gets_a_sentence(text):
    assert isinstance(parse_meter(text), str)


@pytest.mark.parametrize("text", ["", "soon", "60000", "5 km, 3 mi", "0 km", "1.5 months", "2000 years", "1 km,"])
def test_what_is_no_interval_gets_a_sentence(text):
    assert isinstance(parse_interval(text), Fault)


def test_an_interval_reads_as_it_is_written():
    assert parse_interval("60000 km, 4 years") == Interval(Decimal(60_000), "km", None, 48)
    assert parse_interval("500h") == Interval(hours=Decimal(500))


def van(journal, **facts):
    return work(journal, SHORT, asset="Van 7", **facts)


def meter(value, unit="km"):
    return {"meter": Quantity(Decimal(value), unit)}


def test_a_lower_meter_is_asked_about_and_noted(journal):
    job = van(journal, **meter(46_000))
    with pytest.raises(Refusal, match=r"40 000 km is lower than 46 000 km on 2026-09-21. Is it a slip"):
        card_facts(CardOptions(asset=" van  7", meter="40000km"))
    facts = card_facts(CardOptions(asset="van 7", meter="40000km", meter_note="new instrument"))
    assert (facts["meter_restart"], facts["meter_note"]) == (True, "new instrument")
    assert not card_facts(CardOptions(asset="another", meter="40000km"))["meter_restart"]
    assert add_meter(job, "30000km", "", done=False) is Exit.USAGE
    assert add_meter(job, "30000km", "wrong unit before", done=False) is Exit.OK
    assert journal.read(job).entries[-1].data["note"] == "wrong unit before"


def test_the_list_names_the_last_job_of_each_machine(journal, capsys):
    start = 1_767_268_800.0  # 1 January 2026, noon UTC
    van(journal, **meter(30_000), start_s=start - 400 * 86_400)
    last = van(journal, **meter(42_000), start_s=start)
    work(journal, SHORT, asset="Van 8", rehearsal=True)
    work(journal, SHORT, asset="Van 7", most=20, start_s=start + 100 * 86_400, **meter(46_000))
    (line,) = due_lines(journal, D("2026-05-01"), within_days=60, rehearsals=False)
    assert (line.job, line.next.at, line.next.by_time) == (last, km(102_000), D("2030-01-01"))
    assert due_list.print_due(DueOptions()) is Exit.OK
    assert "102 000 km" in capsys.readouterr().out


AT_CLOSING = 102_000  # coolant-pump-cover: 60 000 km after 42 000 km


@pytest.mark.parametrize(
    ("later", "states"),
    [
        (AT_CLOSING - 1, {DueState.COMING, DueState.LATER}),  # by the forecast, which hangs on the day of the test
        (AT_CLOSING, {DueState.DUE}),
        (AT_CLOSING + 1, {DueState.OVERDUE}),
    ],
    ids=["before", "at", "after"],
)
def test_a_later_reading_tells_what_is_due_now_and_moves_no_service(journal, later, states):
    job = van(journal, **meter(42_000))
    assert add_meter(job, f"{later}km", "", done=False) is Exit.OK
    (line,) = due_lines(journal, D("2026-11-26"), within_days=60, rehearsals=False)
    assert (line.done_at, line.next.at) == (km(42_000), km(AT_CLOSING))
    assert line.next.state in states
    _, texts = label_texts(job, "")
    assert ("Done 2026-09-21 at 42 000 km", False) in texts
    assert any(text.endswith("or 102 000 km") for text, _ in texts)


def test_a_reading_of_the_work_that_was_left_out_or_a_slip_can_be_given_later(journal, capsys):
    job = van(journal)
    assert add_meter(job, "50000km", "", done=False) is Exit.OK
    assert "no reading of when it was done" in capsys.readouterr().out
    (line,) = due_lines(journal, D("2026-11-26"), within_days=60, rehearsals=False)
    assert line.done_at is None
    assert add_meter(job, "420000km", "", done=True) is Exit.OK  # the slip
    assert add_meter(job, "42000km", "", done=True) is Exit.OK
    (line,) = due_lines(journal, D("2026-11-26"), within_days=60, rehearsals=False)
    assert (line.done_at, line.next.at) == (km(42_000), km(AT_CLOSING))
    assert [one.meter for one in readings(journal)["van 7"]] == [km(42_000), km(50_000)]


def test_the_calendar_file_is_read_back_by_the_library_and_keeps_to_the_rules():
    text = "Wheels; brakes, \\ and\nmore: ü 😀 " + "long " * 60
    data = calendar_file([Reminder("2026-01-01-1", D("2027-02-28"), text, text)], datetime(2026, 5, 1, tzinfo=UTC))
    (event,) = Calendar.from_ical(data).walk("VEVENT")
    assert not event.errors
    assert (event.decoded("dtstart"), event.decoded("dtend")) == (D("2027-02-28"), D("2027-03-01"))
    assert str(event["summary"]) == text.strip() or str(event["summary"]) == text
    # RFC 5545, 3.1: lines end with CRLF and have at most 75 octets; 3.6: PRODID and VERSION; 3.6.1: UID and DTSTAMP.
    lines = data.split(b"\r\n")
    assert lines[-1] == b""
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    unfolded = data.replace(b"\r\n ", b"").decode()
    assert unfolded.startswith("BEGIN:VCALENDAR\r\n")
    for once in (
        "VERSION:2.0",
        "PRODID:",
        "UID:2026-01-01-1@",
        "DTSTAMP:20260501T000000Z",
        "DTSTART;VALUE=DATE:20270228",
    ):
        assert unfolded.count(once) == 1
    assert re.search(r"SUMMARY:Wheels\\; brakes\\, \\\\ and\\nmore", unfolded)


def test_a_calendar_without_a_day_is_not_written(journal, tmp_path, capsys):
    out = tmp_path / "due.ics"
    assert due_list.print_due(DueOptions(ics=out)) is Exit.OUTPUT
    assert "Nothing has a day yet" in capsys.readouterr().err
    assert not out.exists()
    van(journal)
    assert due_list.print_due(DueOptions(ics=out)) is Exit.OK
    assert len(Calendar.from_ical(out.read_bytes()).walk("VEVENT")) == 1
    assert due_list.print_due(DueOptions(within=-1)) is Exit.USAGE
