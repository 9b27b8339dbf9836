"""What the record says of bolts that broke or were lost, and of what was dropped: who told it, and how it ended."""

from __future__ import annotations

import re

from assistant.facts import Fact
from assistant.facts.asking import Deviated, DeviationWhat
from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.kinds.trouble import BoltFreed, BoltHeld, Dropped, DroppedFound
from assistant.facts.people import HandedOver, OperatorsNamed
from assistant.journal.opening import open_journal
from assistant.report.record.made import make
from tests.jobs import bare, kept
from tests.typed.play import play, procedure_named

HELD = BoltHeld(group="lid", bolt=5, what=TroubleWhat.BROKEN, step="tighten")
LEFT = Deviated(step="tighten", what=DeviationWhat.BOLT_HELD, reason="it is drilled out later", group="lid", bolts=(5,))
STAYS = Deviated(step=None, what=DeviationWhat.DROPPED, reason="it is in the sump", things=(("dropped", 1),))


def troubles(*facts: Fact) -> list[tuple[str, str, str, str, bool]]:
    """Return what, told by whom, how it ended, by whom, and whether it is open."""
    job, entries = kept([bare(), OperatorsNamed(names="Kim, Robin"), *facts], 1)
    record = make(job, entries, paper="a4", clock=0).record
    return [(one.what, one.told_by, one.ended, one.ended_by, one.open) for one in record.troubles]


def test_who_told_it_and_who_put_it_right() -> None:
    freed = BoltFreed(group="lid", bolt=5, what=TroubleWhat.BROKEN, how=FreedHow.REPLACED, step="tighten")
    assert troubles(HELD, HandedOver(left_by="Kim", taken_by="Robin"), freed) == [
        ("lid 5: broke", "Kim", "replaced by another one", "Robin", False)
    ]


def test_a_reason_does_not_put_it_right() -> None:
    assert troubles(HELD, LEFT) == [("lid 5: broke", "Kim", "LEFT SO: it is drilled out later", "Kim", True)]
    dropped = Dropped(number=1, step="tighten")
    assert troubles(dropped)[0][2:] == ("OPEN", "", True)
    assert troubles(dropped, STAYS)[0][2:] == ("NOT FOUND: it is in the sump", "Kim", True)
    assert troubles(dropped, STAYS, DroppedFound(number=1))[0][2:] == ("out of the machine again", "Kim", False)


def test_what_it_turned_out_to_be_is_a_line_of_its_own() -> None:
    lost = BoltHeld(group="lid", bolt=5, what=TroubleWhat.LOST, step="tighten")
    assert [one[0::2] for one in troubles(HELD, lost)] == [
        ("lid 5: broke", "told to be otherwise: lost", False),
        ("lid 5: lost", "OPEN", True),
    ]


def test_what_is_open_stands_under_the_open_items_with_its_reason() -> None:
    job, entries = kept([bare(), HELD, LEFT, Dropped(number=1, step=None), STAYS], 1)
    found = {one.what: one.reason for one in make(job, entries, paper="a4", clock=0).record.open}
    assert found["lid 5 BROKE, and not put right"] == "it is drilled out later"
    assert found["MAY LIE IN THE MACHINE: dropped bolt no. 1"] == "it is in the sump"


def test_what_a_held_bolt_had_got_is_not_done_any_more_and_the_page_says_so(tmp_path) -> None:
    """A whole job: of the lid only bolt five is undone, in both stages, and the page has a line for it."""
    lid_off = [*["next"] * 6, "count six", "count four", "next", "next", "count six", "count four"]
    talk = [*lid_off, *["next"] * 4, "bolt five broke", "no", "confirmed"]
    played = play(procedure_named("two-lids"), talk, home=tmp_path)
    (held,) = played.facts("bolt_held")
    assert held["undone"] == [{"step": "tighten", "turn": turn, "run": 1, "bolt": 5} for turn in (1, 2)]
    with open_journal(tmp_path, read_only=True) as journal:
        job = journal.resolve("last")
        made = make(job, journal.read(job).entries, paper="a4", clock=0)
    undone = [
        (one.stage, one.bolts, one.result)
        for one in made.record.tightenings
        if one.step == "tighten" and one.entry is None
    ]
    assert undone == [(1, (5,), "HELD OPEN: broke"), (2, (5,), "HELD OPEN: broke")]
    page = made.form("html").decode()
    assert re.search(r"<h2>Broken, lost and dropped</h2>.*lid bolts 5: broke.*>OPEN<", page, re.DOTALL)
