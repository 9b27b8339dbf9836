"""The record names what an angle was read off, as the voice named it."""

from assistant.journal.opening import open_journal
from assistant.report.record.made import make
from tests.typed.play import ROOT, play

TALK = ROOT / "tests/typed/talks/values-multiplier.txt"


def test_an_angle_has_its_gauge_and_the_multiplier_it_goes_through(tmp_path):
    play(
        ROOT / "tests/typed/procedures/values.yaml",
        TALK.read_text("utf-8"),
        tools=ROOT / "procedures/tools/practice-bay.yaml",
        home=tmp_path,
    )
    with open_journal(tmp_path, read_only=True) as journal:
        name = journal.resolve("last")
        record = make(name, journal.read(name).entries, paper="a4").record
    done = [row for row in record.tightenings if row.entry is not None]
    assert [(row.way, row.tool) for row in done[:2]] == [
        ("torque", "small-wrench with multiplier"),
        ("angle", "angle-gauge with multiplier"),
    ]
