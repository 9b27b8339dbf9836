"""What is written is read back as the same procedure, whatever stands in it."""

import dataclasses
import inspect

from hypothesis import HealthCheck, given, settings

from assistant.procedure import answering, items, model
from assistant.procedure.findings import Findings
from assistant.procedure.format.document import read_document
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.tree import read_tree
from assistant.procedure.steps import check, count, do, fit, tighten, wait
from tests.procedure.models import FIELDS, procedures
from tests.procedure.test_good_files import BENCH, DEMOS
from tests.procedure.writing import to_yaml

MODULES = (model, items, answering, do, check, count, fit, wait, tighten)
"""Where the classes of the model lie."""
DERIVED = {(model.Procedure, "sha256"), (model.Procedure, "content")}
"""What does not stand in a file, beside the lines: hashes of it."""


def kept(kind):
    """Return the names of the fields of a class of the model that stand in a file."""
    names = [field.name for field in dataclasses.fields(kind)]
    return [name for name in names if name != "line" and (kind, name) not in DERIVED]


def without_places(value):
    """Return ``value`` with what is derived from the writing taken out, all the way down."""
    if isinstance(value, tuple):
        return tuple(without_places(one) for one in value)
    if dataclasses.is_dataclass(value) and type(value).__module__.startswith("assistant.procedure."):
        return type(value), {name: without_places(getattr(value, name)) for name in kept(type(value))}
    return value


@given(procedures)
@settings(deadline=None, max_examples=80, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_model_to_yaml_to_model_is_identity(procedure):
    findings = Findings("written")
    text = to_yaml(procedure)
    draft = read_document(read_tree(text, findings), findings)
    assert findings.result() == ()
    assert without_places(draft.procedure) == without_places(procedure)


def test_the_strategies_make_every_field_of_the_model():
    """A field that is added to the model and forgotten here would not be seen to be lost."""
    classes = {
        kind
        for module in MODULES
        for _, kind in inspect.getmembers(module, dataclasses.is_dataclass)
        if kind.__module__ == module.__name__
    } - {model.Step, model.Traits}
    assert set(FIELDS) == classes
    for kind, fields in FIELDS.items():
        assert set(fields) == set(kept(kind)), kind


def test_the_files_of_the_project_are_read_back_as_they_are():
    for path in [*DEMOS, BENCH]:
        procedure = read_text(path.read_bytes(), path.name).procedure
        again = read_text(to_yaml(procedure).encode(), path.name)
        # Its approval is for the writing of the author.
        assert {finding.rule for finding in again.findings} <= {"approval-holds"}
        assert without_places(again.procedure) == without_places(procedure)
