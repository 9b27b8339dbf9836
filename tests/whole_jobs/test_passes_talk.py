"""A stage of several passes on recorded speech: equal turns, bolt by bolt in one of them, bolts turned together.

What must come out is worked out here from the practice table and what is said in the recording alone.
"""

from __future__ import annotations

from typing import Any

import pytest

from tests.procedure.tables import DRUM, actions
from tests.whole_jobs.talks import heard_in, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]

DONE = DRUM[:10]
"""The passes that are confirmed in the recording: the first three stages."""


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[tuple[str, Any]], str]:
    """The entries that the recording leaves, and the dialogue."""
    home = tmp_path_factory.mktemp("passes")
    done = rehearse("../tests/procedure/good/table-drum-carrier", "passes", home)
    return [(kind, data) for _, kind, data in done.entries], done.dialogue


def test_every_bolt_of_every_pass_is_put_down_in_the_order_of_the_table(job: tuple) -> None:
    entries, _ = job
    tight = [data for kind, data in entries if kind == "tightened"]
    assert [(data["way"], bolt) for data in tight for bolt in data["bolts"]] == [
        (way, bolt) for _, way, _, bolt in actions(DONE)
    ]
    assert [data["turn"] for kind, data in entries if kind == "stage_done"] == list(range(1, len(DONE) + 1))
    # The sixth alone is done bolt by bolt; the two pairs of the ninth are never parted.
    assert [data["bolts"] for data in tight if data["turn"] == 6] == [[2], [5], [1], [4]]
    assert [data["bolts"] for data in tight if data["turn"] == 9] == [[3, 6], [7, 9]]


def test_passes_are_spoken_as_they_are_printed(job: tuple) -> None:
    _, dialogue = job
    for words in (
        "Stage three, pass two of four. First of five.",
        "Third of five.",
        "Fifth of five. A further fifty degrees.",
        "Stage three, pass three of four. Rim bolts. Bolts three and six, at the same time.",
        "stage three, pass two, second of five, bolts two, five, one and four still to do",
    ):
        assert words in dialogue
    assert "where am i" in heard_in(dialogue)
