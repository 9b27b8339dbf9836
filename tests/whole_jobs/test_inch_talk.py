"""A whole job in inches on recorded speech: thousandths, foot-pounds and gallons behind their numbers, to its end."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.whole_jobs.talks import ROOT, rehearse

pytestmark = [pytest.mark.audio, pytest.mark.timeout(400)]

NAME = "inch-engine"
LINES = yaml.safe_load((ROOT / f"audio_fixtures/{NAME}.talk.yaml").read_text("utf-8"))["lines"]


def test_readings_with_their_units_are_heard_and_stand_in_the_journal_in_the_units_of_the_file(tmp_path: Path) -> None:
    done = rehearse(f"../tests/typed/procedures/{NAME}", NAME, tmp_path)
    assert done.heard == LINES
    assert done.code == 0
    told = [(kind, data) for kind, data in done.facts if kind in ("cell_read", "reading", "tightened", "filled")]
    assert [(data["reading"]["value"], data["reading"]["unit"]) for kind, data in told if kind == "cell_read"] == [
        (value, "thou") for value in ("10", "15", "8.5", "18")
    ]
    assert [(data["value"], data["unit"]) for kind, data in told if kind == "reading"] == [
        ("5", "thou"), ("12.5", "mm"),
    ]  # fmt: skip
    torques = [data["reading"] for kind, data in told if kind == "tightened" and data.get("reading")]
    assert torques == [{"value": "31", "unit": "lbf·ft"}, {"value": "32", "unit": "lbf·ft"}]
    assert "It is above the limit. At most thirty-three pound-feet." in done.dialogue  # 35 was out of 29 to 33
    assert [(data["value"], data["unit"]) for kind, data in told if kind == "filled"] == [
        ("1.25", "US gal"), ("2.8", "l"),
    ]  # fmt: skip
    assert "The job is closed." in done.dialogue
