"""The work sheet says how many people a step takes, and what a helper may do alone."""

from assistant.procedure.format.reader import read_procedure
from assistant.report.sheet.forms import FormMaker
from tests.jobs import ROOT


def test_the_work_sheet_says_how_many_people_a_step_takes():
    procedure = read_procedure(ROOT / "tests/typed/procedures/shared-frame.yaml").usable
    steps = [step for _, steps in FormMaker(procedure, 60).chapters() for step in steps]
    told = {step.number: dict(step.facts)["People"] for step in steps if "People" in dict(step.facts)}
    assert told == {"2": "a helper may do it alone", "4": "2"}
