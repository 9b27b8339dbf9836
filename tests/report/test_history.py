"""What many jobs tell together, against figures that another library or a hand makes of the same times."""

import csv
import json
from decimal import Decimal

import numpy as np
import pytest
from PIL import Image

from assistant.cli.printing.history import print_history
from assistant.cli.printing.options import HistoryOptions
from assistant.events import Clarity, Source
from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.facts.inputs import NotUnderstood, UnclearWhy
from assistant.facts.steps import StepDone
from assistant.report.history import HISTORY_COLUMNS, spread
from assistant.terminal.exits import Exit
from tests.jobs import SHORT, bare, work

START_MS = 1_790_000_000_000
UNCLEAR = NotUnderstood(
    why=UnclearWhy.NOT_HERE, text="next gate", confidence=Decimal("0.4"), started_ms=0, ended_ms=1,
    source=Source.VOICE, clarity=Clarity.UNCLEAR,
)  # fmt: skip


def made(journal, *times, rehearsal=False):
    """Make a job whose step "a" takes the first time [s], "b" the second, with a pause of 50 s in "b"."""
    first, second = times
    opened = bare("t", procedure_id="demo", rehearsal=rehearsal)
    job = journal.create([opened], START_MS)
    at = first
    job.append([StepDone(step="a")], START_MS + at * 1000)
    job.append([Paused()], START_MS + (at + 1) * 1000)
    job.append([CarriedOn()], START_MS + (at + 51) * 1000)
    job.append([UNCLEAR], START_MS + (at + 51) * 1000)
    job.append([StepDone(step="b")], START_MS + (at + 50 + second) * 1000)
    job.append([Closed()], START_MS + (at + 50 + second) * 1000)
    job.close()


@pytest.mark.parametrize("times", [[7], [7, 9], [1, 2, 30], list(range(40)), [5, 5, 5, 90, 1]])
def test_median_and_quartiles_agree_with_numpy(times):
    found = spread(times)
    assert [found.low, found.median, found.high] == pytest.approx(list(np.percentile(times, [25, 50, 75])))
    assert (found.least, found.most, found.count) == (min(times), max(times), len(times))


def test_times_interruptions_and_misheard_words_are_added_up(journal, tmp_path, capsys):
    for times in ((10, 100), (20, 120), (60, 200)):
        made(journal, *times)
    made(journal, 999, 999, rehearsal=True)
    out, picture = tmp_path / "h.csv", tmp_path / "h.png"
    assert print_history(HistoryOptions(csv=out, picture=picture)) is Exit.OK
    assert "3 jobs, 3 of them closed" in capsys.readouterr().out
    rows = list(csv.DictReader(out.open(newline="", encoding="utf-8")))
    assert tuple(rows[0]) == HISTORY_COLUMNS
    by_key = {(row["table"], row["what"]): row for row in rows}
    assert (by_key["step", "a"]["median_s"], by_key["step", "a"]["low_s"], by_key["step", "a"]["high_s"]) == (
        "20",
        "15",
        "40",
    )
    assert by_key["step", "b"]["median_s"] == "120"  # the pause of 50 s is not in it
    assert by_key["procedure", ""]["median_s"] == "140"
    assert by_key["interruption", "b: pause"]["count"] == "3"
    assert by_key["misheard", "next gate"]["count"] == "3"
    assert Image.open(picture).size[0] > 600
    assert print_history(HistoryOptions(procedure="other")) is Exit.JOURNAL
    assert 'There is no job of the procedure "other" to tell of' in capsys.readouterr().err


def test_real_jobs_show_every_step(journal, capsys):
    work(journal, SHORT)
    work(journal, SHORT, most=20)
    assert print_history(HistoryOptions(rehearsals=True)) is Exit.OK
    shown = capsys.readouterr().out
    for words in ("Is the engine cold to the touch?", "Open the drain tap and let the coolant run …"):
        assert f"New gasket for the coolant pump cover  {words}" in shown
    assert "coolant-pump-cover" not in shown  # words, no ids


def test_ids_stay_in_the_files_with_their_words_behind(journal, tmp_path, capsys):
    """What is kept for other programs goes by ids; the newest title of a procedure is the one that is shown."""
    journal.create([bare("Old", procedure_id="demo", procedure_sha256="1")], START_MS).close()
    work(journal, SHORT)
    out = tmp_path / "h.csv"
    assert print_history(HistoryOptions(csv=out)) is Exit.OK
    capsys.readouterr()
    assert print_history(HistoryOptions(as_json=True)) is Exit.OK
    rows = list(csv.DictReader(out.open(newline="", encoding="utf-8")))
    (row,) = [row for row in rows if (row["table"], row["what"]) == ("step", "cold")]
    assert (row["procedure"], row["title"], row["words"]) == (
        "coolant-pump-cover", "New gasket for the coolant pump cover", "Is the engine cold to the touch?",
    )  # fmt: skip
    steps = json.loads(capsys.readouterr().out)["tables"][1]
    assert ("coolant-pump-cover", "cold") in [(one["procedure"], one["step"]) for one in steps]


@pytest.mark.parametrize(("name", "said"), [("h.gif", "is no picture that can be drawn"), ("no/h.png", "is not there")])
def test_bad_input_gets_one_sentence(journal, tmp_path, capsys, name, said):
    made(journal, 1, 2)
    assert print_history(HistoryOptions(picture=tmp_path / name)) is not Exit.OK
    err = capsys.readouterr().err
    assert said in err
    assert len(err.splitlines()) == 1
