"""A table of readings on recorded speech: numbers alone, one far off, a correction by name, a cough and a pause.

What must come out is worked out here from what is said in the recording alone.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from tests.whole_jobs.talks import heard_in, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]

READ = {
    ("1", "intake"): "0.2", ("1", "exhaust"): "0.3", ("2", "intake"): "0.21", ("2", "exhaust"): "0.29",
    ("3", "intake"): "0.19", ("3", "exhaust"): "0.34", ("4", "intake"): "0.2", ("4", "exhaust"): "0.3",
    ("5", "intake"): "0.2", ("5", "exhaust"): "0.3", ("6", "intake"): "0.2", ("6", "exhaust"): "0.27",
}  # fmt: skip
"""By cylinder and valve, what was said last of it."""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[tuple[str, Any]], str]:
    """The entries that the recording leaves, and the dialogue."""
    home = tmp_path_factory.mktemp("table")
    done = rehearse("../tests/typed/procedures/practice-heads", "table-of-readings", home)
    return [(kind, data) for _, kind, data in done.entries], done.dialogue


def test_every_number_is_heard_and_stands_where_it_was_asked_for(job: tuple) -> None:
    entries, dialogue = job
    last = {(data["row"], data["column"]): data for kind, data in entries if kind == "cell_read"}
    assert {place: Decimal(str(data["reading"]["value"])) for place, data in last.items()} == {
        place: Decimal(value) for place, value in READ.items()
    }
    assert {data["side"] for data in last.values()} == {"within"}
    assert "point two one" in heard_in(dialogue)


def test_what_was_far_off_never_counted_and_what_was_out_of_limits_was_measured_again(job: tuple) -> None:
    entries, dialogue = job
    read = [data for kind, data in entries if kind == "cell_read"]
    assert "1.5" not in {str(data["reading"]["value"]) for data in read}
    assert [data["reading"]["value"] for data in read if data["side"] == "above"] == ["0.36"]
    assert [(data["row"], data["column"]) for data in read if data["repeated"]] == [("2", "exhaust"), ("3", "exhaust")]
    assert [data for kind, data in entries if kind == "table_read"] != []
    assert [data["step"] for kind, data in entries if kind == "step_done"] == ["clearances"]
    assert "One out of limits. Three exhaust, point three six." in dialogue
    assert "All twelve within limits." in dialogue
