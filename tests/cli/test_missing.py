"""What was missing in the preparation, and the job that another one takes over: from words to journal and record."""

import csv
import io
import json
import os
import subprocess
import sys

import pytest

from assistant.bay.job_opening import resume_job
from assistant.events import Say, Thresholds
from assistant.journal.opening import open_journal
from assistant.report.record.made import make
from tests.jobs import work

OPERATORS = "Kim Example, Robin Example"


def _forgetful(session, now):
    """Lack the second thing of the equipment and the first spare, find the equipment before the work begins."""
    view = session.view(now)
    card = view["card"]
    if view["phase"] == "confirming" and view["pending"]["action"] == "without" and len(view["missing"]) > 1:
        return "item found"
    if view["phase"] == "confirming" and view["pending"]["action"] == "found":
        return "confirmed" if view["pending"]["question"].lower().startswith(view["missing"][0].lower()) else "no"
    if not card or view["phase"] != "preparing":
        return None
    if card["what"] == "equipment" and len(card["things"]) > 1 and not card["missing"] and card["thing"] in (None, 1):
        return "missing" if not view["missing"] else None
    if card["what"] == "spares" and card["thing"] in (None, 0) and len(view["missing"]) == 1:
        return "missing"
    return None


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    """A journal with one job that began without a spare and has not come to its step yet."""
    folder = tmp_path_factory.mktemp("bay")
    with open_journal(folder) as journal:
        work(journal, say=_forgetful, most=24, operator=OPERATORS, asset="Rig 4")
    return folder


def _assistant(home, *words):
    return subprocess.run(
        [sys.executable, "-m", "assistant", *words], env=os.environ | {"ASSISTANT_HOME": str(home)},
        capture_output=True, text=True, check=False,
    )  # fmt: skip


def test_the_list_says_since_when_and_what_was_found(home):
    rows = list(csv.DictReader(io.StringIO(_assistant(home, "missing", "--format", "csv").stdout)))
    assert [(row["what"], bool(row["found"])) for row in rows] == [("equipment", True), ("spares", False)]
    assert json.loads(_assistant(home, "missing", "last", "--format", "json").stdout) == rows
    text = _assistant(home, "missing").stdout
    assert rows[1]["thing"] in text
    assert text.count("STILL MISSING") == 1


def test_a_job_without_anything_missing_says_so(tmp_path):
    with open_journal(tmp_path) as journal:
        work(journal, most=5)
    assert _assistant(tmp_path, "missing").stdout == "Nothing was missing.\n"
    unknown = _assistant(tmp_path, "missing", "2001-01-01-1")
    assert unknown.returncode != 0
    assert "2001-01-01-1" in unknown.stderr


def test_the_record_shows_what_it_was_begun_without(home):
    with open_journal(home, read_only=True) as journal:
        job = next(journal.scan()).id
        record = make(job, journal.read(job).entries, paper="a4", clock=0).record
        lacking = {row.chapter: row for row in record.preparation if row.results}
        assert lacking["spares"].status == "deviation"
        assert lacking["spares"].results[0].startswith("MISSING: ")
        assert lacking["equipment"].status == "done"
        assert "found (entry " in lacking["equipment"].results[0]
        assert any(one.what.startswith("begun without ") and one.reason for one in record.deviations)
        assert any(one.what.startswith("spares: ") for one in record.open)


def test_who_takes_over_by_name_is_greeted_and_stands_in_the_record(tmp_path):
    with open_journal(tmp_path) as journal:
        job = work(journal, most=30, operator="Kim Example")
        now = journal.read(job).entries[-1].at_ms / 1000 + 60
        same = resume_job(journal, job, Thresholds(), now, operator="Kim Example")
        same.job.close()
        assert "handed_over" not in {entry.kind for entry in journal.read(job).entries}
        other = resume_job(journal, job, Thresholds(), now + 60, operator="Robin Example")
        said = " ".join(effect.text for effect in other.first if isinstance(effect, Say))
        other.job.close()
        assert said.startswith("Robin Example. You take over from Kim Example.")
        handed = [dict(entry.data) for entry in journal.read(job).entries if entry.kind == "handed_over"]
        assert handed == [{"left_by": "Kim Example", "taken_by": "Robin Example"}]
        record = make(job, journal.read(job).entries, paper="a4", clock=0).record
        assert record.card.operators == ("Kim Example", "Robin Example")


def test_a_hand_over_that_was_cut_off_asks_again_who_takes_over(tmp_path):
    with open_journal(tmp_path) as journal:
        words = iter(["hand over", "confirmed"])
        job = work(journal, say=lambda session, now: next(words), most=2, operator=OPERATORS)
        now = journal.read(job).entries[-1].at_ms / 1000 + 60
        again = resume_job(journal, job, Thresholds(), now)
        said = " ".join(effect.text for effect in again.first if isinstance(effect, Say))
        again.job.close()
        assert said == "Robin Example. If you take over, say take over."


def test_the_list_of_names_of_the_job_card_hands_nothing_over(tmp_path):
    with open_journal(tmp_path) as journal:
        job = work(journal, most=30, operator=OPERATORS)
        now = journal.read(job).entries[-1].at_ms / 1000 + 60
        for names in (OPERATORS, "kim  example"):
            now += 60
            resume_job(journal, job, Thresholds(), now, operator=names).job.close()
        assert "handed_over" not in {entry.kind for entry in journal.read(job).entries}
        now += 60
        resume_job(journal, job, Thresholds(), now, operator="Robin Example, Kim Example").job.close()
        handed = [dict(entry.data) for entry in journal.read(job).entries if entry.kind == "handed_over"]
        assert handed == [{"left_by": "Kim Example", "taken_by": "Robin Example"}]


def test_a_part_that_was_missing_is_not_fitted_before_it_was_found(tmp_path):
    with open_journal(tmp_path) as journal:
        job = work(journal, say=_forgetful, operator=OPERATORS)
        kinds = [entry.kind for entry in journal.read(job).entries]
        places = [at for at, kind in enumerate(kinds) if kind == "item_found"]
        assert kinds.index("part_fitted") > places[-1]
        assert kinds[-1] == "closed"
