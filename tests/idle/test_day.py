"""A typed day of a bay: waits, lists, starts, works, closes, waits again; and what does not begin."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import Any

from assistant.bay.inbox import Inbox
from assistant.events import End, Thresholds
from assistant.idle.state import JobCard, Pressed
from assistant.journal.opening import open_journal
from assistant.journal.port import JobInfo
from assistant.kept.rebuilding import rebuild_session
from assistant.settings import Settings
from assistant.terminal.exits import Exit
from tests.idle.typed_day import Played, day

PEOPLE = Settings(operators="Kim, Jon, John", wake="")
WOKEN = Settings(operators="Kim, Lee", wake="good morning workshop")
CLOSE = ["finish job", '"practice only"', "end note", "confirmed"]


def picture(played: Played) -> Any:
    """What the page shows at the end."""
    return json.loads(played.board.newest()[1])


def jobs(home: Path) -> list[tuple[str, str]]:
    """Title and state of each job, oldest first."""
    with open_journal(home) as journal:
        return [(one.title, one.state.value) for one in journal.scan()][::-1]


def test_a_job_is_started_closed_and_the_bay_waits_again(home: Path, procedures: Path) -> None:
    lines = ["jobs", "procedures", "gearbox", "operator kim", "start", "confirmed", "next", *CLOSE, "jobs"]
    played = day(home, lines, procedures, PEOPLE)
    assert played.said(1) == "No job is open. Say new job."
    assert played.said(2).startswith("Two procedures. One: New gasket for the coolant pump cover. Two: Side cover")
    assert played.said(3) == "One: Side cover of the practice gearbox. Say start."
    assert played.said(4) == "Operator Kim."
    assert played.said(5) == "Start Side cover of the practice gearbox, operator Kim?"
    assert played.said(6).startswith("Side cover of the practice gearbox. It has nine steps.")
    assert "The job is closed. The record of Side cover of the practice gearbox is on the page." in played.said(11)
    assert played.said(12) == "No job is open. Say new job."
    assert jobs(home) == [("Side cover of the practice gearbox", "closed")]
    assert len(played.closed) == 1
    with open_journal(home) as journal:
        opened = journal.first(played.closed[0]).fact
    assert (opened.operator, opened.rehearsal) == ("Kim, Jon, John", False)  # type: ignore[union-attr]


def test_the_page_shows_the_place_of_the_record_until_somebody_comes(home: Path, procedures: Path) -> None:
    lines = ["procedures", "number one", "start", "yes", *CLOSE]
    shown = picture(day(home, lines, procedures))
    job = shown["idle"]["record"]["address"].removeprefix("/jobs/")
    assert (shown["mode"], shown["headline"]) == (
        "idle",
        "The record of New gasket for the coolant pump cover is on the page.",
    )
    assert shown["idle"]["record"]["name"] == f"Record of job {job}"


def test_a_job_is_left_open_and_resumed_in_another_day_by_somebody_else(home: Path, procedures: Path) -> None:
    morning = ["procedures", "number one", "start", "confirmed", *["next"] * 5]
    assert day(home, morning, procedures, PEOPLE).exit is Exit.OPEN
    lines = ["jobs", "next one", "operator kim", "resume", "cancel", "resume", "yes"]
    played = day(home, lines, procedures, PEOPLE)
    assert played.said(1) == "One job. One: New gasket for the coolant pump cover, open."
    assert played.said(2) == "One: New gasket for the coolant pump cover, open. Say resume."
    assert played.said(4) == "Resume New gasket for the coolant pump cover, operator Kim?"
    assert played.said(5) == "Dropped."
    with open_journal(home) as journal:
        entries = journal.read("last").entries
    assert [entry.fact.operator for entry in entries if entry.kind == "resumed"] == ["Kim"]  # type: ignore[union-attr]


def test_nothing_is_heard_before_the_wake_phrase_and_nothing_behind_half_a_minute(home: Path, procedures: Path) -> None:
    wake = "good morning workshop"
    lines = ["jobs", "talk: start", wake, "procedures", "+40 s", "number one", wake, "number one", "procedures",
             "number one", "start"]  # fmt: skip
    played = day(home, lines, procedures, WOKEN)
    assert [played.said(line) for line in (1, 2, 3, 6, 7)] == ["", "", "Yes?", "", "Yes?"]
    assert played.said(8) == ""  # no list is open: what is no phrase here is a tone
    assert played.said(11).startswith("Starting New gasket for the coolant pump cover, no operator. New gasket")
    assert played.talk.grammars[0].phrases == ("good morning workshop",)


def test_names_that_sound_alike_are_read_back(home: Path, procedures: Path) -> None:
    lines = ["operator jon", "no", "no", "procedures", "number one", "operator jon", "no", "yes", "start"]
    played = day(home, lines, procedures, PEOPLE)
    assert played.said(1) == "Operator Jon. Is that right?"
    assert [played.said(line) for line in (2, 3)] == ["Operator John. Is that right?", "Dropped."]
    assert played.said(8) == "Operator John."
    assert played.said(9) == "Start New gasket for the coolant pump cover, operator John?"


def test_a_changed_and_a_faulty_and_a_missing_file_are_told(home: Path, procedures: Path) -> None:
    cover = procedures / "gearbox-side-cover.yaml"

    def change(text: str) -> Any:
        def work() -> None:
            cover.write_text(text, "utf-8")

        return work

    text = cover.read_text("utf-8")
    lines = ["procedures", "number two", "start", change(text.replace("rags", "cloths")), "confirmed", "procedures",
             "number two", "start", change("procedure: {}"), "confirmed", "procedures", "number two",
             "start", cover.unlink, "procedures"]  # fmt: skip
    played = day(home, lines, procedures)
    assert played.said(5).startswith("Side cover of the practice gearbox was changed since I read it.")
    assert played.said(10) == "Side cover of the practice gearbox has errors now. The screen shows them."
    assert played.said(12) == "Two: gearbox side cover, with errors. It has errors and cannot be started."
    assert played.said(13) == "Gearbox side cover has errors now. The screen shows them."
    assert played.said(15).startswith("One procedure.")
    assert jobs(home) == []


def test_a_job_of_another_process_and_a_damaged_one_are_told_and_the_bay_waits(home: Path, procedures: Path) -> None:
    day(home, ["procedures", "number one", "start", "confirmed", "next"], procedures)
    with open_journal(home) as other:
        held = other.hold("last", 1_796_112_000_000)
        played = day(home, ["jobs", "resume", "yes", "procedures"], procedures)
        held.close()
    assert played.said(3) == "Somebody else works on New gasket for the coolant pump cover. End it there first."
    assert played.said(4).startswith("Two procedures.")
    break_it(home)
    played = day(home, ["jobs", "resume", "yes", "procedures"], procedures)
    assert (
        played.said(3)
        == "New gasket for the coolant pump cover is damaged and cannot be gone on with. The screen says more."
    )
    assert played.said(4).startswith("Two procedures.")


def break_it(home: Path) -> None:
    """Change a stored entry past the journal, as a fault of the disk would."""
    with sqlite3.connect(home / "journal.sqlite") as raw:
        for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            raw.execute(f"DROP TRIGGER {name}")
        raw.execute("UPDATE entry SET at_ms = at_ms + 1 WHERE seq = 3")


def test_a_job_of_the_page_is_read_back_and_begins_by_a_second_press(home: Path, procedures: Path) -> None:
    start = Pressed("start_job", "gearbox-side-cover.yaml", JobCard("van 7", "order 12"))
    lines = [Pressed("works", "Kim"), start, lambda: none(home), Pressed("confirmed"), "next"]
    played = day(home, lines, procedures, PEOPLE)
    assert played.said(2) == "Start Side cover of the practice gearbox, operator Kim?"
    assert played.said(4).startswith("Side cover of the practice gearbox. It has nine steps.")
    with open_journal(home) as journal:
        opened = journal.first("last").fact
    assert (opened.asset, opened.customer) == ("van 7", "order 12")  # type: ignore[union-attr]


def none(home: Path) -> None:
    """Make sure that no job has begun."""
    assert jobs(home) == []


def test_a_wake_phrase_lets_no_press_begin_without_its_question(home: Path, procedures: Path) -> None:
    settings = replace(PEOPLE, wake="good morning workshop")
    start = Pressed("start_job", "gearbox-side-cover.yaml")
    lines = [start, "+16 s", Pressed("confirmed"), start, Pressed("cancel"), Pressed("confirmed"), lambda: none(home)]
    played = day(home, lines, procedures, settings)
    assert played.said(5) == "Dropped."
    assert (played.said(3), played.said(6)) == ("", "")


def test_a_job_is_handed_over_on_the_page_between_jobs(home: Path, procedures: Path) -> None:
    start = Pressed("start_job", "coolant-pump-cover.yaml")
    day(home, [Pressed("works", "Kim"), start, Pressed("confirmed"), "next"], procedures, PEOPLE)
    (name,) = (info.id for info in _infos(home))
    lines = [Pressed("works", "Jon"), Pressed("resume_job", name), Pressed("confirmed"), "next"]
    played = day(home, lines, procedures, PEOPLE)
    assert played.said(2) == "Resume New gasket for the coolant pump cover, operator Jon?"
    with open_journal(home) as journal:
        assert rebuild_session(journal.read(name).entries, Thresholds()).state.operator == "Jon"


def _infos(home: Path) -> list[JobInfo]:
    with open_journal(home) as journal:
        return list(journal.scan())


def test_the_keys_of_a_job_walk_and_begin(home: Path, procedures: Path) -> None:
    played = day(home, ["pedal: next", "pedal: next", "key: next", "key: go back", "key: confirmed"], procedures)
    assert played.said(1).startswith("Two procedures.")
    assert [played.said(line)[:4] for line in (2, 3, 4)] == ["One:", "Two:", "One:"]
    assert played.said(5).startswith("Starting New gasket for the coolant pump cover")


def test_a_job_that_breaks_again_and_again_leads_back_to_the_waiting_bay(home: Path, procedures: Path) -> None:
    def breaks() -> None:
        raise ZeroDivisionError

    lines = ["procedures", "number one", "start", "confirmed", "next", breaks, breaks, breaks, "jobs", "resume", "yes"]
    played = day(home, lines, procedures, mends=True)
    said = " ".join(text for texts in played.said_at.values() for text in texts)
    assert "New gasket for the coolant pump cover broke off, and is kept. Say jobs to go on with it." in said
    assert played.said(9) == "One job. One: New gasket for the coolant pump cover, open."
    assert played.said(11) == "People needed: one mechanic."  # it goes on where it was
    assert jobs(home) == [("New gasket for the coolant pump cover", "open")]


def test_a_lost_device_is_shown_and_not_spoken_while_nobody_is_there(home: Path, procedures: Path) -> None:
    inbox = Inbox()

    def lose() -> None:
        inbox.lost(End.MICROPHONE)

    played = day(home, [lose, "procedures", lose], procedures, inbox=inbox)
    gone = "The microphone is gone. Nothing is lost. I keep looking for it."
    assert played.said(1) == ""
    assert played.notes == [gone]
    assert gone in played.said(3)


def test_an_open_job_is_told_with_the_step_where_it_stands(home: Path, procedures: Path) -> None:
    day(home, ["procedures", "number two", "start", "confirmed", *["next"] * 6, "confirmed", "pause"], procedures)
    said = day(home, ["jobs"], procedures).said(1)
    assert said == "One job. One: Side cover of the practice gearbox, paused at step one."
