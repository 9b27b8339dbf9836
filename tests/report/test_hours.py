"""Whose time went where: worked by hand, against the clock of golden jobs, and second by second."""

from __future__ import annotations

import json
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.events import Thresholds
from assistant.facts.bay import EndedBy, Interrupted
from assistant.facts.extra import ExtraAsked, FindingBegun, FindingLeft
from assistant.facts.going import Arrived, CarriedOn, Closed, HandingOver, Paused
from assistant.facts.inputs import NotUnderstood, Resumed, Understood
from assistant.facts.people import HandedOver, HelperAsBefore, HelperCame, HelperLeft, HelperWas, OperatorsNamed
from assistant.facts.second import NotWitnessed, SecondNamed, SecondWhat, Witnessed
from assistant.facts.steps import TimerEnded, TimerStarted, TimerStopped
from assistant.journal.opening import open_journal
from assistant.kept.rebuilding import rebuild_session
from assistant.report.record.build import opening_of, procedure_of, worked_seconds
from assistant.report.record.clock import PersonClock, clocks_of
from assistant.report.record.made import make
from assistant.report.record.times import idle_spans, worked_between
from tests.jobs import ROOT, kept, opening
from tests.journal.golden import NAMES, load

BENCH = ROOT / "tests/typed/procedures/lid-and-rail.yaml"
WAITING = ROOT / "tests/typed/procedures/waiting-lid.yaml"


def clocks(path, *timed):
    """Return the clocks of a job on ``path`` in which each fact comes at its second, and which begins at second 0."""
    _, first = opening(path)
    _, entries = kept([first], 0, *(([fact], second * 1000) for second, fact in timed))
    return clocks_of(procedure_of(opening_of(entries)), entries)


def seconds(clock):
    return clock.person, clock.own // 1000, clock.extra // 1000, clock.waiting // 1000, clock.away // 1000


def at(place):
    return Arrived(place=place)


def started(end):
    return TimerStarted(timer="cure", seconds=100, ends_ms=end * 1000)


def test_a_day_of_two_people_is_as_the_hand_adds_it_up():
    found = clocks(
        WAITING,
        (0, OperatorsNamed(names="A. Reed, C. Hall")),
        (10, at("lid-in")),  # A. Reed works from 0 on
        (60, started(660)),
        (60, at("set")),  # and waits from 60
        (100, at("label")),  # works elsewhere while it cures: from 100
        (160, at("set")),  # and waits again
        (200, Paused()),  # a pause is not waiting: from 200
        (300, CarriedOn()),
        (400, HandingOver()),  # nobody works from 400
        (460, HandedOver(left_by="A. Reed", taken_by="C. Hall")),
        (660, TimerEnded(timer="cure")),  # C. Hall waited from 460
        (700, at("pin-out")),  # and stood there when nothing was left to wait for: his own time
        (730, Closed()),
        (900, Interrupted(by=EndedBy.CONTROL_C)),  # what comes behind the end does not count
    )
    assert [seconds(one) for one in found] == [
        ("A. Reed", 60 + 60, 0, 40 + 40 + 100, 100 + 60),
        ("C. Hall", 40 + 30, 0, 200, 0),
    ]


def test_extra_work_is_apart_and_the_question_for_it_is_not():
    found = clocks(
        BENCH,
        (10, at("lid:offer:ask")),  # the customer is asked: work of the job
        (40, at("lid:offer:1")),
        (50, at("hose-off")),
        (80, at("wipe")),
        (90, at("rail-out")),  # a branch that nobody had to grant
        (95, Closed()),
    )
    assert [seconds(one) for one in found] == [("", 40 + 15, 40, 0, 0)]


def test_second_persons_have_a_clock_of_their_own_beside_that_of_the_job():
    named = SecondNamed(what=SecondWhat.WITNESS, step="wipe", name="B. Fox")
    found = clocks(
        BENCH,
        (0, OperatorsNamed(names="A. Reed, C. Hall")),
        (10, HelperCame(name="C. Hall", at_ms=10_000)),
        (40, at("lid:offer:1")),  # extra work of both from 40
        (50, Paused()),
        (80, CarriedOn()),  # neither worked for 30 s
        (90, HelperLeft(name="C. Hall", at_ms=90_000)),
        (100, at("wipe")),
        (110, named),  # a witness is there from the name
        (130, Witnessed(step="wipe", name="B. Fox")),  # to the word
        (140, named),
        (150, NotWitnessed(step="wipe")),  # without the word nobody knows that they were there
        (160, HelperCame(name="C. Hall", at_ms=160_000)),
        (170, HandedOver(left_by="A. Reed", taken_by="C. Hall")),  # who takes over helps no more
        (180, Closed()),
    )
    assert [(*seconds(one), one.is_second) for one in found] == [
        ("A. Reed", 40 + 70, 10 + 20, 0, 30, False),
        ("C. Hall", 30 + 10, 10 + 10, 0, 30, True),
        ("B. Fox", 20, 0, 0, 0, True),
        ("C. Hall", 10, 0, 0, 0, False),
    ]


def test_a_word_about_a_helper_that_was_taken_back_does_not_count():
    """Ten seconds of one who never came; and one who is there all the time, though somebody said that they had left."""
    found = clocks(
        BENCH,
        (10, HelperCame(name="B. Fox", at_ms=10_000)),
        (20, HelperAsBefore(name="B. Fox")),
        (30, HelperCame(name="C. Hall", at_ms=30_000)),
        (40, HelperLeft(name="C. Hall", at_ms=40_000)),
        (60, HelperAsBefore(name="C. Hall", was=HelperWas(ms=0, since_ms=30_000, away_ms=0))),
        (70, HelperLeft(name="C. Hall", at_ms=70_000)),
        (80, Closed()),
    )
    assert [(*seconds(one), one.is_second) for one in found] == [
        ("", 80, 0, 0, 0, False),
        ("C. Hall", 40, 0, 0, 0, True),
    ]


def test_a_helper_who_witnesses_too_counts_once():
    found = clocks(
        BENCH,
        (0, HelperCame(name="C. Hall", at_ms=0)),
        (10, SecondNamed(what=SecondWhat.WITNESS, step="wipe", name="C. Hall")),
        (30, Witnessed(step="wipe", name="C. Hall")),
        (50, Closed()),
    )
    assert [seconds(one) for one in found] == [("", 50, 0, 0, 0), ("C. Hall", 50, 0, 0, 0)]


def test_extra_work_without_steps_counts_from_its_beginning_to_its_end():
    found = clocks(
        BENCH,
        (20, FindingBegun(work="finding:1", number=1)),
        (50, Paused()),
        (60, CarriedOn()),
        (70, FindingLeft(work="finding:1", number=1)),
        (90, FindingBegun(work="finding:1", number=1)),
        (95, ExtraAsked(work="finding:1", number=1)),  # the grant was taken back: it is no extra work any more
        (100, Closed()),
    )
    assert [seconds(one) for one in found] == [("", 20 + 20 + 5, 30 + 10 + 5, 0, 10)]


def test_what_is_told_of_helpers_is_what_the_record_counts(tmp_path):
    with open_journal(load("helping-hands", tmp_path / "j"), read_only=True) as journal:
        entries = journal.read(journal.resolve("last")).entries
    counted = {one.person: one for one in clocks_of(procedure_of(opening_of(entries)), entries) if one.is_second}
    state = rebuild_session(entries, Thresholds()).state
    told = {one.name: one.until(state.spent.last_ms, state.spent.away_ms) for one in state.helping}
    assert set(told) == set(counted) == {"Ben Fisher", "C. Hall"}
    for name, clock in counted.items():
        assert abs(told[name] - clock.own - clock.extra - clock.waiting) < 15_000  # it goes by what was heard


def test_a_power_cut_is_nobodys_work():
    found = clocks(BENCH, (30, at("wipe")), (630, Resumed(operator="C. Hall")), (650, at("end")))
    assert [seconds(one) for one in found] == [("", 30, 0, 0, 600), ("C. Hall", 20, 0, 0, 0)]


def test_a_timer_that_nobody_saw_end_makes_nobody_wait_longer():
    """The program was off when it ended: TimerEnded comes late."""
    found = clocks(WAITING, (0, at("set")), (0, started(50)), (80, TimerEnded(timer="cure")), (90, Closed()))
    assert [seconds(one) for one in found] == [("", 40, 0, 50, 0)]


@pytest.mark.parametrize("name", NAMES)
def test_every_moment_of_a_stored_job_counts_once(name, tmp_path):
    with open_journal(load(name, tmp_path / name), read_only=True) as journal:
        entries = journal.read(journal.resolve("last")).entries
    procedure = procedure_of(opening_of(entries))
    found = clocks_of(procedure, entries)
    end = next((one.at_ms for one in reversed(entries) if isinstance(one.fact, Closed)), entries[-1].at_ms)
    first = [one for one in found if not one.is_second]
    assert sum(one.all for one in first) == end - entries[0].at_ms
    worked = sum(one.own + one.extra + one.waiting for one in first)
    assert round(worked / 1000) == worked_seconds(entries)
    record = json.loads(make(name, entries, paper="a4", clock=0).form("json"))
    assert [one["waiting_seconds"] for one in record["hours"]] == [round(one.waiting / 1000) for one in found]


@pytest.mark.parametrize("name", NAMES)
def test_what_is_told_aloud_is_what_the_record_counts(name, tmp_path):
    """It goes by the times of what was heard alone, so it may miss a minute around the first words of a program."""
    with open_journal(load(name, tmp_path / name), read_only=True) as journal:
        entries = journal.read(journal.resolve("last")).entries
    heard = [one.fact for one in entries if isinstance(one.fact, Understood | NotUnderstood)]
    counted = worked_between(idle_spans(entries), heard[0].started_ms, heard[-1].ended_ms) / 1000
    programs = 1 + sum(isinstance(one.fact, Resumed) for one in entries)
    assert -1 <= counted - rebuild_session(entries, Thresholds()).state.spent.seconds <= 60 * programs


def test_a_stored_job_with_extra_work_has_its_seconds(tmp_path):
    """By its entries: it came to the card of the offer at 264.4 s, and back to the rail at 276.7 s."""
    with open_journal(load("lid-and-rail", tmp_path / "l"), read_only=True) as journal:
        entries = journal.read(journal.resolve("last")).entries
    (one,) = clocks_of(procedure_of(opening_of(entries)), entries)
    assert one.extra / 1000 == pytest.approx(12.3, abs=0.1)


FACTS = st.one_of(
    st.sampled_from(["lid-in", "set", "label", "end"]).map(at),
    st.just(Paused()),
    st.just(CarriedOn()),
    st.just(HandingOver()),
    st.sampled_from(["A. Reed", "C. Hall", ""]).map(lambda name: HandedOver(taken_by=name)),
    st.integers(0, 120).map(started),
    st.sampled_from([TimerEnded(timer="cure"), TimerStopped(timer="cure")]),
    st.just(Resumed()),
)


def second_by_second(timed, last):
    """Count each second by what all facts up to it say; the slow way."""
    found = {}
    idle = set()
    begun = {}
    before = 0
    for when, fact in timed:
        for kind, start, stop in (("pause", Paused, CarriedOn), ("hand", HandingOver, HandedOver)):
            if isinstance(fact, start):
                begun[kind] = when
            if isinstance(fact, stop) and kind in begun:
                idle |= set(range(begun.pop(kind), when))
        if isinstance(fact, Resumed):
            idle |= set(range(before, when))
        before = when
    for second in range(last):
        person, place, until = "", "", -1
        for when, fact in timed:
            if when > second:
                break
            if isinstance(fact, HandedOver):
                person = fact.taken_by
            if isinstance(fact, Arrived):
                place = fact.place
            if isinstance(fact, TimerStarted):
                until = fact.ends_ms // 1000
            if isinstance(fact, TimerEnded | TimerStopped):
                until = -1
        what = "away" if second in idle else "waiting" if place == "set" and second < until else "own"
        found.setdefault(person, dict.fromkeys(("own", "waiting", "away"), 0))[what] += 1
    return found


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 15), FACTS), min_size=1, max_size=20))
def test_every_second_is_counted_where_it_was(steps):
    timed, now = [], 0
    for more, fact in steps:
        now += more
        timed.append((now, fact))
    found = {one.person: one for one in clocks(WAITING, *timed)}
    slow = second_by_second(timed, now)
    assert all(earlier <= later for earlier, later in pairwise(when for when, _ in timed))
    for person, parts in slow.items():
        one = found.get(person, PersonClock(person))
        assert (one.own, one.waiting, one.away) == tuple(1000 * parts[what] for what in ("own", "waiting", "away"))
    assert sum(one.all for one in found.values()) == 1000 * now
