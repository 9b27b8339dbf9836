"""Keys that were called otherwise before are refused kindly: each with the name that it has now."""

from pathlib import Path

import pytest

from assistant.procedure.format.reader import read_text

DEMO = (Path(__file__).parents[2] / "procedures" / "gearbox-side-cover.yaml").read_text("utf-8")


@pytest.mark.parametrize(
    ("now", "before", "times"),
    [("\nchapters:", "\nparts:", 1), ("- chapter:", "- part:", 2), ("  book_time:", "  hours:", 1)],
)
def test_an_old_name_is_refused_with_the_new_one_and_all_else_is_read(now, before, times):
    assert DEMO.count(now) == times
    reading = read_text(DEMO.replace(now, before).encode(), "old.yaml")
    assert reading.procedure is None
    old, new = (word.strip("\n -:") for word in (before, now))
    told = [finding for finding in reading.errors if finding.rule == "renamed-key"]
    assert [finding.text for finding in told] == [f'The key "{old}" has another name now: write {new}.'] * times
    others = {finding.rule for finding in reading.findings} - {"renamed-key", "approval-holds", "unit"}
    assert others == set(), "nothing is missing because of it"


def test_an_old_name_beside_the_new_one_is_an_error():
    data = b"procedure: {id: a, hours: 2, book_time: 2 h}"
    (found,) = [finding for finding in read_text(data, "both").findings if "hours" in finding.text]
    assert found.text == 'The key "hours" has another name now: write book_time only.'
