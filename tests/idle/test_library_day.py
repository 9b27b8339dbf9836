"""A bay that has a copy of the workshop's library: what it lists and starts, and what comes before what."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.bay.job import read_or_refuse
from assistant.clock import SteadyClock
from assistant.desk.pages import BayDesk
from assistant.journal.opening import open_journal
from assistant.journal.port import opened_of
from assistant.service.library import look_at_library
from assistant.settings import Settings
from assistant.terminal.exits import Refusal
from assistant.workshop.library_copy import bay_library, procedure_named
from tests.idle.typed_day import day
from tests.workshop.copies import copy_of
from tests.workshop.published import picture, procedure

CLOSE = ["finish job", '"practice only"', "end note", "confirmed"]


@pytest.fixture
def office(tmp_path: Path) -> Path:
    """Where the office writes."""
    return tmp_path / "office"


def test_the_bay_starts_the_newest_of_the_library_and_not_its_own_file_of_that_id(
    home: Path, procedures: Path, office: Path
) -> None:
    procedure(procedures, 7, more="of the bay").rename(procedures / "own-name.yaml")
    copy_of(home, [procedure(office / "1"), procedure(office / "2", 2)])
    played = day(home, ["procedures", "number one", "start", "confirmed", *CLOSE], procedures, Settings())
    assert played.said(1).startswith("Three procedures. One: Bench check. Two: New gasket")
    with open_journal(home) as journal:
        opened = opened_of(journal.first(played.closed[0]))
    assert (opened.procedure_id, opened.procedure_revision) == ("bench-check", "2")
    assert Path(opened.procedure_path).is_relative_to(home / "library")


def test_when_all_was_withdrawn_the_bays_own_file_is_listed_again(home: Path, procedures: Path, office: Path) -> None:
    procedure(procedures, 7)
    copy_of(home, [procedure(office)], {("bench-check", "1"): "Wrong."})
    (row,) = [one for one in BayDesk(procedures).procedures() if one.title == "Bench check"]
    assert (row.revision, row.library) == ("7", False)


def test_a_bays_own_file_of_a_revision_that_was_withdrawn_begins_only_for_who_insists(
    home: Path, procedures: Path, office: Path
) -> None:
    procedure(procedures)
    copy_of(home, [procedure(office)], {("bench-check", "1"): "Wrong."})
    played = day(home, ["procedures", "number one", "start", "confirmed", "next", "confirmed", *CLOSE], procedures)
    assert "The reason: Wrong. Say confirmed to begin with it all the same." in played.said(4)
    assert played.said(5) == "Cancelled. Nothing has changed."
    with open_journal(home) as journal:
        kinds = [entry.kind for entry in journal.read(played.closed[0]).entries]
    assert ("revision_gone" in kinds, "begun_anyhow" in kinds) == (True, False)


def test_the_doctor_tells_of_the_copy_its_age_and_its_damage(home: Path, office: Path) -> None:
    now = SteadyClock().now()
    assert look_at_library(now).found == "there is no copy; the bay works with its own procedures"
    folder = copy_of(home, [procedure(office)])
    assert (look_at_library(now).state, look_at_library(now).found[:12]) == ("good", "1 procedure.")
    assert "3 days ago. What was withdrawn since is not known here" in look_at_library(now + 3 * 86_400 + 60).found
    next(folder.glob("*/bench-check.yaml")).unlink()
    assert "1 of its files are damaged or gone (bench-check.yaml)" in look_at_library(now).found


def test_a_damaged_copy_is_listed_as_faulty_and_does_not_start(
    home: Path, procedures: Path, office: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = copy_of(home, [procedure(office / "1"), procedure(office / "2", 2)])
    path = procedure_named(Path("bench-check"))
    path.write_bytes(path.read_bytes() + b"# a bit more\n")
    played = day(home, ["procedures", "number one", "start", "jobs"], procedures, Settings())
    assert played.said(2) == "One: bench check, with errors. It has errors and cannot be started."
    assert played.said(4) == "No job is open. Say new job."
    with pytest.raises(Refusal, match=r"The copy of bench-check\.yaml from the library is damaged or gone"):
        read_or_refuse(path)
    monkeypatch.chdir(folder)
    with pytest.raises(Refusal, match="damaged"):
        read_or_refuse(path.relative_to(folder))


def test_a_name_means_a_file_then_the_library_then_a_demo(
    home: Path, office: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shipped = procedure_named(Path("gearbox-side-cover"))
    assert shipped.parent.name == "procedures"
    copy_of(home, [procedure(office, ident="gearbox-side-cover")])
    assert bay_library().has(procedure_named(Path("gearbox-side-cover")))
    assert procedure_named(Path("procedures/gearbox-side-cover.yaml")) == Path("procedures/gearbox-side-cover.yaml")
    (tmp_path / "gearbox-side-cover").touch()
    assert procedure_named(Path("gearbox-side-cover")) == Path("gearbox-side-cover")


def test_the_desk_reads_aloud_what_is_from_the_library_and_says_so(home: Path, procedures: Path, office: Path) -> None:
    picture(office / "lid.png")
    copy_of(home, [procedure(office, 3, shows="lid.png")])
    desk = BayDesk(procedures)
    rows = {one.name: one.library for one in desk.procedures()}
    assert rows == {"bench-check.yaml": True, "coolant-pump-cover.yaml": False, "gearbox-side-cover.yaml": False}
    assert desk.preview("bench-check.yaml")[0].turns
    assert desk.procedures()[0].findings == (), "its picture lies beside it"
