"""A kind of step that only this test knows: one class with its keys, and the file format has it."""

from dataclasses import dataclass
from pathlib import Path

import jsonschema
import pytest

from assistant.procedure.difference import differences
from assistant.procedure.format.base import Key
from assistant.procedure.format.forms import TOLD, refers
from assistant.procedure.format.page import procedure_tables
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.schema import json_schema
from assistant.procedure.format.steps import step_format
from assistant.procedure.kinds import KINDS
from assistant.procedure.model import Step
from tests.procedure.test_schema import faults
from tests.procedure.writing import to_yaml

BENCH = (Path(__file__).parent / "good" / "bench-check.yaml").read_text(encoding="utf-8")
BEFORE = '      - {id: look, check: "Is the plate clamped to the bench?"}\n'


@dataclass(frozen=True, slots=True)
class OilStep(Step):
    """Oil one place."""

    place: str = ""
    supply: str | None = None


@pytest.fixture(autouse=True)
def _known():
    with KINDS.known(OilStep):
        step_format(
            OilStep,
            "oil",
            "Oil something: the command, as it is spoken.",
            Key("place", TOLD, "Where the oil goes.", required=True),
            Key("supply", refers("supply"), "Id of the oil.", default=None),
        )
        yield


def written(step):
    assert BENCH.count(BEFORE) == 1
    return BENCH.replace(BEFORE, f"{BEFORE}      - {step}\n")


def test_it_is_read_and_written_back():
    procedure = read_text(written("{oil: Oil the stud., place: at the stud}").encode(), "x").procedure
    (oil,) = [step for step in procedure.steps if isinstance(step, OilStep)]
    assert (oil.text, oil.place, oil.supply) == ("Oil the stud.", "at the stud", None)
    again = read_text(to_yaml(procedure).encode(), "x").procedure
    assert [step.place for step in again.steps if isinstance(step, OilStep)] == ["at the stud"]
    assert differences(procedure, again) == ()


@pytest.mark.parametrize(
    ("step", "says"),
    [
        ("{oil: Oil the stud.}", "This oil step has no place: write place: with a value."),
        ("{oil: Oil the stud., place: here, out: plate}", '"out" belongs to a count step, not to an oil step: take it'),
        ("{do: Oil the stud., place: here}", '"place" belongs to a count step or an oil step, not to a do step'),
        ("{oil: Oil the stud., do: Oil it., place: here}", "This step is do and oil at once: make a step of each."),
        ("{oil: Oil the stud., place: at stud 5}", '"5" is spoken as it is written and may be misheard'),
        ("{oil: Oil the stud., place: here, supply: wax}", 'There is no supply with the id "wax"'),
    ],
)
def test_what_is_wrong_with_it_is_told(step, says):
    told = [finding.text for finding in read_text(written(step).encode(), "x").findings]
    assert any(text.startswith(says) for text in told), told


def test_the_schema_and_the_page_have_it():
    jsonschema.Draft202012Validator.check_schema(json_schema())
    assert faults(written("{oil: Oil the stud., place: at the stud}")) == []
    assert faults(written("{oil: Oil the stud., spot: at the stud}"))
    assert [key.name for key in procedure_tables()["oil step"]] == ["oil", "place", "supply"]


def test_without_it_nobody_knows_it():
    with KINDS.known(OilStep):
        pass
    (finding,) = read_text(written("{oil: Oil the stud., place: here}").encode(), "x").findings
    assert (finding.rule, finding.level) == ("step-kind", "error")
