"""A class of facts changes: what was stored before is read as the new class, by its upcaster.

Two changes are tried on the golden journals: ``timer_started`` tells minutes in place of seconds, and names its timer
otherwise; and ``note`` gives its words, which are personal, another name.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Any, ClassVar

import pytest
from msgspec.structs import replace

from assistant import facts
from assistant.events import Thresholds
from assistant.facts.base import PERSONAL, Fact, FactFault, Unreadable
from assistant.facts.people import Noted
from assistant.facts.store import fact_classes, known
from assistant.facts.upcasters import UPCASTERS, Upcaster
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, JournalFault
from assistant.kept.rebuilding import rebuild_session
from assistant.session.evolving.table import fold, takes_up
from assistant.session.state import State, TimerState
from tests.journal.golden import load


class TimerBegun(Fact, frozen=True, kw_only=True):
    """The second version of a timer that began: its time in minutes, and the timer under another name."""

    KIND: ClassVar[str] = "timer_started"
    VERSION: ClassVar[int] = 2
    name: str
    minutes: Decimal
    ends_ms: int
    visit: int
    repeated: bool


def to_minutes(fields: dict[str, Any]) -> dict[str, Any]:
    """From version 1 to version 2 of ``timer_started``."""
    rest = {key: value for key, value in fields.items() if key not in ("timer", "seconds")}
    return {"name": fields["timer"], "minutes": str(Decimal(fields["seconds"]) / 60), **rest}


@takes_up(TimerBegun)
def _timer_begun(state: State, fact: TimerBegun) -> State:
    late = frozenset(pair for pair in state.late_accepted if pair[1] != fact.name)
    timers = {**state.timers, fact.name: TimerState(fact.ends_ms, fact.visit)}
    return State(**{**_fields(state), "timers": timers, "late_accepted": late})


def _fields(state: State) -> dict[str, Any]:
    return {name: getattr(state, name) for name in state.__struct_fields__}


class Remark(Fact, frozen=True, kw_only=True):
    """The second version of a note: its words under another name."""

    KIND: ClassVar[str] = "note"
    VERSION: ClassVar[int] = 2
    step: str | None
    words: Annotated[str, PERSONAL]
    complete: bool
    silent_ms: int


def to_words(fields: dict[str, Any]) -> dict[str, Any]:
    """From version 1 to version 2 of ``note``."""
    return {"words": fields.pop("text"), **fields}


Change = Callable[..., AbstractContextManager[None]]


@pytest.fixture
def changed(monkeypatch: pytest.MonkeyPatch) -> Change:
    """Changes a class, and registers upcasters by the version that they begin with, for as long as is wanted."""

    @contextmanager
    def change(cls: type[Fact], **upcasters: Upcaster) -> Iterator[None]:
        with monkeypatch.context() as patch, known(cls):
            for name, upcaster in upcasters.items():
                patch.setitem(UPCASTERS, (cls.KIND, int(name.removeprefix("from_"))), upcaster)  # type: ignore[arg-type]
            yield

    return change


def entries_of(home: Path) -> list[Entry]:
    with open_journal(home, read_only=True) as journal:
        assert journal.verify("last").good
        return journal.read("last").entries


# By the upcaster


def test_a_golden_journal_is_read_as_the_new_class(tmp_path: Path, changed: Change) -> None:
    """Its three timers are the cooling time, the drying time and the open time of hub-drive-reseal.yaml."""
    load("hub-drive", tmp_path)
    before = fold(entry.fact for entry in entries_of(tmp_path))
    with changed(TimerBegun, from_1=to_minutes):
        entries = entries_of(tmp_path)
        begun = [entry for entry in entries if entry.kind == "timer_started"]
        read = [entry.fact for entry in begun]
        assert all(isinstance(fact, TimerBegun) for fact in read)
        assert [(fact.name, fact.minutes) for fact in read if isinstance(fact, TimerBegun)] == [
            ("cooling", 25), ("drying", 4), ("sealant-open", 12),
        ]  # fmt: skip
        assert {entry.version for entry in begun} == {1}, "what is stored stays as it is"
        after = fold(entry.fact for entry in entries)
        # what can be taken back holds the facts themselves, and the new class does not say how it is taken back
        assert replace(after, confirmed=()) == replace(before, confirmed=())


def test_old_and_new_stand_in_one_job(tmp_path: Path, changed: Change) -> None:
    load("hub-drive", tmp_path)
    with changed(TimerBegun, from_1=to_minutes), open_journal(tmp_path) as journal:
        new = TimerBegun(name="sealant-cure", minutes=Decimal(45), ends_ms=1, visit=0, repeated=False)
        job = journal.hold("last", 1_800_000_000_000)
        (kept,) = job.append([new], 1_800_000_000_000)
        assert (kept.version, kept.fact) == (2, new)
        assert journal.verify("last").good
        begun = [entry for entry in journal.read("last").entries if entry.kind == "timer_started"]
        assert [entry.version for entry in begun] == [1, 1, 1, 2]
        assert {type(entry.fact) for entry in begun} == {TimerBegun}


def test_a_personal_field_is_unsealed_under_its_old_name_and_forgotten_all_the_same(
    tmp_path: Path, changed: Change
) -> None:
    load("pump-cover", tmp_path)
    with changed(Remark, from_1=to_words):
        (note,) = (entry.fact for entry in entries_of(tmp_path) if entry.kind == "note")
        assert isinstance(note, Remark)
        assert note.words == "the gasket was glued"
        with open_journal(tmp_path) as journal:
            assert journal.forget("last", 1_800_000_000_000)
        (note,) = (entry.fact for entry in entries_of(tmp_path) if entry.kind == "note")
        assert isinstance(note, Remark)
        assert note.words == "[removed]"


LINE = """{"kind": "timer_started", "version": 1, "cause": 12, "data":
  {"timer": "drying", "seconds": 240, "ends_ms": 1795000240000, "visit": 3, "repeated": false}}"""
"""As the first version wrote it; kept here by hand."""


def test_a_line_of_the_first_version_is_read_for_ever(changed: Change) -> None:
    line = json.loads(LINE)
    with changed(TimerBegun, from_1=to_minutes):
        fact = facts.load(line["kind"], line["version"], line["data"])
    assert fact == TimerBegun(name="drying", minutes=Decimal(4), ends_ms=1795000240000, visit=3, repeated=False)


def test_versions_are_gone_through_one_by_one() -> None:
    class Third(Fact, frozen=True, kw_only=True):
        KIND: ClassVar[str] = "tried_here"
        VERSION: ClassVar[int] = 3
        path: str

    steps: dict[tuple[str, int], Upcaster] = {
        ("tried_here", 1): lambda fields: {"path": f"{fields['way']}, two"},
        ("tried_here", 2): lambda fields: {"path": f"{fields['path']}, three"},
    }
    with known(Third):
        assert facts.load("tried_here", 1, {"way": "one"}, steps) == Third(path="one, two, three")
        assert facts.load("tried_here", 2, {"path": "two"}, steps) == Third(path="two, three")
        assert facts.load("tried_here", 3, {"path": "three"}, steps) == Third(path="three")


# Without one


def test_without_an_upcaster_the_entry_is_named_in_one_sentence(tmp_path: Path, changed: Change) -> None:
    load("hub-drive", tmp_path)
    with changed(TimerBegun):
        entries = entries_of(tmp_path)
        first = next(entry for entry in entries if entry.kind == "timer_started")
        why = '"timer_started" has the version 1, and this program has no way from there to version 2'
        assert first.fact == Unreadable(kind="timer_started", why=why)
        with pytest.raises(JournalFault) as fault:
            rebuild_session(entries, Thresholds())
    assert fault.value.sentence == (
        f"Entry {first.seq} of this job cannot be taken up by this version ({why}). "
        "Nothing is lost: read it with assistant show, or use the version that wrote it."
    )


def test_an_upcaster_that_cannot_use_the_fields_says_of_which_version_they_are(changed: Change) -> None:
    with changed(TimerBegun, from_1=to_minutes), pytest.raises(FactFault) as fault:
        facts.load("timer_started", 1, {"timer": "drying"})
    assert fault.value.args == ("\"timer_started\" of version 1 cannot be read: KeyError('seconds')",)


def test_an_upcaster_that_makes_something_else_is_found_out(changed: Change) -> None:
    with changed(TimerBegun, from_1=lambda fields: fields), pytest.raises(FactFault, match="none of its own: seconds"):
        facts.load("timer_started", 1, {"timer": "t", "seconds": 1, "ends_ms": 1, "visit": 0, "repeated": False})


def test_a_newer_version_than_this_program_knows_is_refused() -> None:
    with pytest.raises(FactFault, match='"paused" has the version 2, and this program knows 1'):
        facts.load("paused", 2, {})


def test_the_change_is_over_with_the_test(tmp_path: Path, changed: Change) -> None:
    """The class that stood in for another one is gone, and so is what was known of its personal fields."""
    with changed(Remark, from_1=to_words):
        assert facts.personal_fields("note") == ("words",)
    assert fact_classes()["note"] is Noted
    assert facts.personal_fields("note") == ("text",)
    assert all(
        isinstance(entry.fact, Noted) for entry in entries_of(load("pump-cover", tmp_path)) if entry.kind == "note"
    )
