"""How long work on fasteners takes about, where nobody knows it: added up by hand, and inside a job.

The figures are own ones, common practice, no source: what is held here is the sum, and that more work takes longer.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.advice.pace import Turned, by_hand_seconds, tightening_seconds
from assistant.facts.codes import Direction, Way
from assistant.facts.reminders import TimesKnown
from assistant.procedure.format.reader import read_procedure
from assistant.session.lasting import From, seconds_of
from assistant.session.session import Session
from tests.jobs import ROOT
from tests.session.bench import Bench

works = st.builds(
    Turned,
    turn=st.integers(1, 6),
    way=st.sampled_from(Way),
    times=st.integers(1, 40),
    strokes=st.integers(1, 5),
    reach=st.booleans(),
    multiplier=st.booleans(),
    read=st.booleans(),
)


def test_ten_bolts_at_a_torque_by_an_angle_and_through_a_multiplier_are_added_up_by_hand():
    assert tightening_seconds([Turned(1, Way.TORQUE, 10)]) == 30 + 10 * 10
    assert tightening_seconds([Turned(1, Way.TORQUE, 6), Turned(1, Way.TORQUE, 4)]) == 30 + 10 * 10  # one pass
    angle = Turned(2, Way.ANGLE, 10, strokes=2, read=True)
    assert tightening_seconds([Turned(1, Way.TORQUE, 10), angle]) == 130 + 30 + 10 * (12 + 4 + 10)
    assert tightening_seconds([Turned(1, Way.CHECK, 2, reach=True, multiplier=True)]) == 30 + 2 * (10 + 5 + 30)
    assert tightening_seconds([]) == 0


@given(st.lists(works, min_size=1, max_size=6), st.integers(0, 5))
def test_more_bolts_more_strokes_and_more_to_read_never_take_less(work, at):
    one = work[at % len(work)]
    before = tightening_seconds(work)
    for more in (
        replace(one, times=one.times + 1), replace(one, strokes=one.strokes + 1), replace(one, reach=True),
        replace(one, multiplier=True), replace(one, read=True),
    ):  # fmt: skip
        assert tightening_seconds([more if each is one else each for each in work]) >= before


@given(st.integers(1, 200), st.sampled_from(Direction))
def test_one_fastener_more_takes_longer_and_none_takes_no_time(number, direction):
    assert by_hand_seconds(number, direction) > by_hand_seconds(number - 1, direction)
    assert by_hand_seconds(0, direction) == 0


LID = read_procedure(ROOT / "tests/typed/procedures/waiting-lid.yaml").usable


def known(session: Session, step: str, now: float) -> tuple[float, From]:
    here = session.standing(now)
    return seconds_of(here, here.job.places[here.job.index[step]])


def test_half_the_bolts_are_half_of_what_is_left_of_the_estimate():
    bench = Bench(LID)
    assert known(bench.session, "lid-tight", bench.now) == (30 + 4 * 10, From.ESTIMATE)
    while bench.session.standing(bench.now).place.key != "lid-tight":
        bench.lead_on()
    bench.hear("one by one")
    for _ in range(2):
        bench.lead_on()
    assert known(bench.session, "lid-tight", bench.now) == (35, From.ESTIMATE)


@pytest.mark.parametrize(("own", "bay", "seconds", "source"), [
    ({"lid-tight": 200}, {"lid-tight": 300}, 200, From.OWN), ({}, {"lid-tight": 300}, 300, From.BAY),
    ({}, {}, 70, From.ESTIMATE),
])  # fmt: skip
def test_what_was_measured_here_comes_before_the_estimate(own, bay, seconds, source):
    bench = Bench(LID)
    bench.session.know(TimesKnown(own=own, own_jobs=1, bay=bay, bay_jobs=2), bench.now)
    assert known(bench.session, "lid-tight", bench.now) == (seconds, source)


def test_the_minutes_of_the_procedure_come_before_what_was_measured():
    bench = Bench(LID)
    bench.session.know(
        TimesKnown(own={"label": 900}, own_jobs=1, bay={"label": 800, "marked": 40}, bay_jobs=2), bench.now
    )
    assert known(bench.session, "label", bench.now) == (4 * 60, From.MINUTES)
    assert known(bench.session, "marked", bench.now) == (40, From.BAY)  # the file has no minutes for it
