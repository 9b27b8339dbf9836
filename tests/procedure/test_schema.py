"""The published JSON Schema is the format: good files pass in it, badly written ones fail, and it is never stale."""

import re
from pathlib import Path

import jsonschema
import pytest
import yaml
from hypothesis import HealthCheck, given, settings

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.document import FILE
from assistant.procedure.format.records import records
from assistant.procedure.format.schema import json_schema, schema_text, tool_schema
from tests.procedure.models import procedures
from tests.procedure.test_bad_files import BAD, expected
from tests.procedure.test_good_files import ROOT, read_text
from tests.procedure.writing import to_yaml

TOOLS = ROOT / "procedures" / "tools" / "tools.schema.json"
PUBLISHED = ROOT / "procedures" / "procedure.schema.json"
GOOD = sorted([*(ROOT / "procedures").glob("*.yaml"), *(Path(__file__).parent / "good").glob("*.yaml")])


class CoreLoader(yaml.SafeLoader):
    """YAML as editors read it: the core schema of YAML 1.2.2 (section 10.3.2), where ``yes`` and ``1:30`` are texts."""

    yaml_implicit_resolvers = {}


for tag, pattern, first in (
    ("null", r"null|Null|NULL|~|", ["n", "N", "~", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", list("-+0123456789")),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", list("-+.0123456789")),
):
    CoreLoader.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(rf"(?:{pattern})$"), first)
# PyYAML's own constructor takes a leading zero for the octal of YAML 1.1, and breaks on 08; in 1.2 that is eight.
CoreLoader.add_constructor(
    "tag:yaml.org,2002:int",
    lambda _, node: int(node.value, 0 if node.value[:2] in ("0o", "0x") else 10),
)


def faults(text):
    validator = jsonschema.Draft202012Validator(json_schema())
    return list(validator.iter_errors(yaml.load(text, Loader=CoreLoader)))


def test_the_published_schema_of_tools_is_the_one_that_the_program_makes():
    said = "say: assistant schema --tools > procedures/tools/tools.schema.json"
    assert TOOLS.read_text(encoding="utf-8") == schema_text(tool_schema()), said
    jsonschema.Draft202012Validator.check_schema(tool_schema())


def test_the_published_schema_is_the_one_that_the_program_makes():
    said = "say: assistant schema > procedures/procedure.schema.json"
    assert PUBLISHED.read_text(encoding="utf-8") == schema_text(json_schema()), said


def test_it_is_a_schema_of_its_draft():
    """The meta-schema of draft 2020-12 comes with the library jsonschema."""
    assert json_schema()["$schema"] == jsonschema.Draft202012Validator.META_SCHEMA["$id"]
    jsonschema.Draft202012Validator.check_schema(json_schema())


@pytest.mark.parametrize("path", GOOD, ids=lambda path: path.stem)
def test_good_files_pass_as_written_and_as_the_program_writes_them(path):
    assert faults(path.read_text(encoding="utf-8")) == []
    written = to_yaml(read_text(path.read_bytes(), path.name).procedure)
    assert faults(written) == []


@pytest.mark.parametrize(("text", "number"), [("08", 8), ("0o10", 8), ("0x1F", 31), ("-012", -12)])
def test_numbers_are_read_as_yaml_1_2_has_them(text, number):
    """The examples of YAML 1.2.2, section 10.3.2 (012 and 0o7 are there), and one that the older YAML breaks on."""
    assert yaml.load(text, Loader=CoreLoader) == number


@given(procedures)
@settings(deadline=None, max_examples=30, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
def test_whatever_the_format_can_hold_passes_as_the_program_writes_it(procedure):
    assert faults(to_yaml(procedure)) == []


# What a schema cannot know: the form of the YAML text itself is lost before it looks, and it counts nothing.
BEFORE = {"yaml-syntax", "plain-yaml", "duplicate-key"}


@pytest.mark.parametrize("path", [path for path in BAD if path.stem not in BEFORE], ids=lambda path: path.stem)
def test_badly_written_files_fail_and_files_that_only_say_something_wrong_pass(path):
    rules = {rule for _, rule, _ in expected(path)}
    badly_written = bool(rules & set(ReadingRule))
    assert bool(faults(path.read_text(encoding="utf-8"))) == badly_written


@pytest.mark.parametrize(
    ("key", "good", "bad"),
    [
        ("torque", ["40 N·m", "40Nm", "33 ft-lb", "0.5 kgf·m"], ["40", "nm", "40 nm", "N·m 40"]),
        ("angle", ["90°", "90 deg", "0.25 turn", "1/4 turn"], ["90", "90 N·m"]),
        ("time", ["90 s", "1 h 30 min", "1.5h"], ["1:30", "ten"]),
        ("bolts", ["1-6", "3-4, 2, 5", "6-1"], ["", "1-6000", "all of them", "0"]),
        ("run-bolts", ["all", "1, 3, 2, 4"], ["crosswise"]),
        ("date", ["2026-01-31"], ["31.1.2026", "2026-1-31"]),
    ],
)
def test_values_of_the_format_page_pass_and_slips_fail(key, good, bad):
    form = json_schema()["$defs"][key]
    for text in good:
        jsonschema.Draft202012Validator(form).validate(text)
    for text in bad:
        assert list(jsonschema.Draft202012Validator(form).iter_errors(text)), text


def test_every_key_has_its_description_for_the_editor():
    schema = json_schema()
    for table, record in records(FILE).items():
        made = schema if table == "file" else schema["$defs"][table.replace(" ", "-")]
        assert {name: value["description"] for name, value in made["properties"].items()} == {
            key.name: key.means for key in record.keys
        }


def test_the_demos_say_where_their_schema_lies():
    for path in (ROOT / "procedures").glob("*.yaml"):
        (name,) = re.findall(r"^# yaml-language-server: \$schema=(\S+)$", path.read_text("utf-8"), re.MULTILINE)
        assert (path.parent / name).resolve() == PUBLISHED
