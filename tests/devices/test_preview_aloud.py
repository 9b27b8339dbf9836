"""A preview through the loudspeaker: all of it is heard, one turn after the other."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from tests.devices.pulse import RECORD_HZ, PulseBay
from tests.devices.test_loudspeaker import sounding

TINY = """
procedure: {id: tiny, title: Tiny, revision: 1, source: Bench book, machine: Plate, hazard_scheme: ansi}
preliminary: {conditions: [], persons: [], support_equipment: [], supplies: [], spares: [], safety: []}
chapters: [{chapter: Look, steps: [{do: Look at the plate.}]}]
closing: [{check: "Is the lamp back?"}]
"""


@pytest.mark.audio
def test_what_is_previewed_aloud_is_heard_from_the_loudspeaker(pulse: PulseBay, tmp_path: Path) -> None:
    path = tmp_path / "tiny.yaml"
    path.write_text(TINY, "utf-8")
    with pulse.recorded() as recording:
        result = CliRunner().invoke(app, ["preview", str(path), "--aloud", "--chapter", "Closing"])
    assert result.exit_code == 0, result.output
    printed = [float(seconds) for seconds in re.findall(r"(\d+\.\d) s$", result.output, re.MULTILINE)]
    places = sounding(recording.samples)
    assert len(printed) == 2
    assert (places[-1] - places[0]) / RECORD_HZ == pytest.approx(sum(printed), abs=1.5)
    assert "Is the lamp back?" in result.output


@pytest.mark.audio
def test_a_loudspeaker_that_is_not_there_is_one_sentence(pulse: PulseBay, tmp_path: Path) -> None:
    path = tmp_path / "tiny.yaml"
    path.write_text(TINY, "utf-8")
    result = CliRunner().invoke(app, ["preview", str(path), "--aloud", "--loudspeaker", "gramophone"])
    assert result.exit_code == 5
    assert "gramophone" in result.output
