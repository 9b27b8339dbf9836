"""The list of a bay's box of shims: read as it was written or not at all, and kept by the job."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.faults import Fault
from assistant.procedure.format.box_file import read_box
from tests.typed.play import ROOT, play

HEAD = ROOT / "tests/typed/procedures/shim-head.yaml"
FOUND = ["next"] * 4 + ["point three", "point four", "point two one", "point four", "next", "two point five"]
FITTED = ["two point five five", "two point six"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("size,count\n2.45,1\n", 'Line 2 of box.csv: "2.45" is no thickness: write it with its unit, as 2.45 mm'),
        ("size,count\n2.45 mm,1\n245 mm,1\n", 'Line 3 of box.csv: no shim is "245 mm" thick'),
        ("size,count\n2.45 mm,two\n", 'Line 2 of box.csv: "two" is no number of shims'),
        ("size,count\n2.45 mm,1\n2.450 mm,3\n", 'Line 3 of box.csv has "2.450 mm" again'),
        ("size,count\n0.1 in,1\n2.54 mm,3\n", 'Line 3 of box.csv has "2.54 mm" again'),
        ("size,kind\n2.45 mm,29/2\n", 'Line 2 of box.csv: "29/2" is no kind of shims'),
        ("size,cuont\n2.45 mm,1\n", 'box.csv has a column "cuont" that a box has not'),
        ("shim\n2.45 mm\n", "box.csv is no list of a box of shims"),
        ("size,count\n2.45 mm,1,thin\n", "Line 2 of box.csv has not as many cells as there are columns"),
        ("size\n0 mm\n", 'Line 2 of box.csv: "0 mm" is no thickness'),
    ],
)
def test_what_is_wrong_is_one_sentence_with_its_line(text: str, says: str) -> None:
    found = read_box(text.encode(), "box.csv")
    assert isinstance(found, Fault)
    assert found.sentence.startswith(says)


def test_a_list_with_semicolons_and_without_counts_is_read() -> None:
    found = read_box("size;kind\n0.005 in;thin\n2.45mm;\n".encode("utf-8-sig"), "box.csv")
    assert not isinstance(found, Fault)
    assert [(one.kind, str(one.size.value), one.size.unit, one.count) for one in found] == [
        ("thin", "0.005", "in", 1), ("", "2.45", "mm", 1),
    ]  # fmt: skip


def test_a_list_that_is_wrong_stops_the_job_before_it_begins(tmp_path: Path) -> None:
    box = tmp_path / "box.csv"
    box.write_text("size,count\nthick,1\n", "utf-8")
    played = play(HEAD, ["next"], "--box", str(box))
    assert (played.exit, played.records) == (4, [])
    assert 'Line 2 of box.csv: "thick" is no thickness' in played.stderr


def test_the_job_keeps_the_list_and_goes_on_with_it_where_the_file_is_not(tmp_path: Path) -> None:
    home, box = tmp_path / "home", tmp_path / "box.csv"
    box.write_text("size,count,kind\n2.65 mm,1,valve\n2.70 mm,1,valve\n", "utf-8")
    play(HEAD, [*FOUND, "pause"], "--box", str(box), home=home)
    box.unlink()
    played = play(HEAD, ["carry on", *FITTED], "--job", "last", home=home, begin="2026-12-02T08:00")
    proposals = played.facts("shims_worked_out")[-1]["proposals"]
    assert [one["way"] for one in proposals] == ["engine", "box", "box"]


def test_the_settings_name_the_list_and_resume_takes_another_one(tmp_path: Path) -> None:
    home, other = tmp_path / "home", tmp_path / "other.csv"
    home.mkdir(mode=0o700)
    (home / "settings.toml").write_text('box = "box.csv"\n', "utf-8")
    (home / "box.csv").write_text("size,kind\n2.65 mm,valve\n", "utf-8")
    other.write_text("size,kind\n2.70 mm,valve\n", "utf-8")
    begun = play(HEAD, [*FOUND, "pause"], home=home)
    assert len(begun.facts("box_known")) == 1
    played = play(
        HEAD, ["carry on", *FITTED], "--job", "last", "--box", str(other), home=home, begin="2026-12-02T08:00"
    )
    proposals = played.facts("shims_worked_out")[-1]["proposals"]
    assert [one["way"] for one in proposals] == ["engine", "buy", "box"]
