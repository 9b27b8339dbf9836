"""Places and values of our tree against others: PyYAML's own composer (in Python; ours runs on libyaml) and json."""

import json
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.faults import Fault
from assistant.procedure.findings import Findings
from assistant.procedure.format.tree import ListNode, MapNode, ScalarNode, read_tree
from assistant.procedure.format.values import parse_duration, parse_number

ROOT = Path(__file__).parents[2]
FILES = sorted([*(ROOT / "procedures").glob("*.yaml"), *(ROOT / "tests" / "procedure" / "good").glob("*.yaml")])


def ours(text):
    findings = Findings("x")
    tree = read_tree(text, findings)
    assert findings.result() == ()
    return tree


def compare(mine, theirs):
    """Both trees have the same shape, texts, lines and columns."""
    assert (mine.line, mine.column) == (theirs.start_mark.line + 1, theirs.start_mark.column + 1)
    if isinstance(mine, ScalarNode):
        assert mine.text == theirs.value
        assert mine.plain == (theirs.style in {None, ""})
    elif isinstance(mine, ListNode):
        assert len(mine.items) == len(theirs.value)
        for mine_item, their_item in zip(mine.items, theirs.value, strict=True):
            compare(mine_item, their_item)
    else:
        assert list(mine.values) == [key.value for key, _ in theirs.value]
        for (key, value), (their_key, their_value) in zip(mine.values.items(), theirs.value, strict=True):
            compare(mine.keys[key], their_key)
            compare(value, their_value)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_places_agree_with_the_composer_of_pyyaml(path):
    text = path.read_text(encoding="utf-8")
    compare(ours(text), yaml.compose(text, Loader=yaml.SafeLoader))


texts = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"], include_characters=" "), max_size=20)
plain = st.recursive(
    texts, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(texts, inner, max_size=4), max_leaves=15
)
roots = st.dictionaries(texts, plain, min_size=1, max_size=4)


def data(node):
    if isinstance(node, ScalarNode):
        return node.text
    if isinstance(node, ListNode):
        return [data(item) for item in node.items]
    assert isinstance(node, MapNode)
    return {key: data(value) for key, value in node.values.items()}


@given(roots, st.booleans(), st.integers(20, 200))
@settings(deadline=None)
def test_places_agree_for_any_tree_that_pyyaml_writes(root, flow, width):
    text = yaml.safe_dump(root, default_flow_style=flow, allow_unicode=True, width=width)
    compare(ours(text), yaml.compose(text, Loader=yaml.SafeLoader))
    assert data(ours(text)) == root


@given(roots)
@settings(deadline=None)
def test_json_is_read_as_json_reads_it(root):
    """YAML 1.2 takes in JSON; json of the standard library is the reference for its values."""
    text = json.dumps(root, ensure_ascii=False, indent=1)
    assert data(ours(text)) == json.loads(text)


@pytest.mark.parametrize(
    ("written", "yaml_1_1"),
    [("1:30", 90), ("010", 8), ("0x10", 16), ("1_000", 1000), ("0b11", 3), ("+3", 3), ("190:20:30", 685230)],
)
def test_numbers_that_yaml_1_1_would_change_are_refused(written, yaml_1_1):
    """The values are those of YAML 1.1, yaml.org/type/int.html; PyYAML's loader confirms that the trap is there."""
    assert yaml.safe_load(written) == yaml_1_1
    assert isinstance(parse_number(written, 0, 10**9), Fault)
    assert isinstance(parse_duration(written), Fault)


@pytest.mark.parametrize(
    "written", [".nan", ".inf", "-.INF", "1e3", "1,5", "1.", ".5", "-", "", "１２", "9" * 5000, "1 2"]
)
def test_what_is_no_plain_decimal_number_is_refused(written):
    assert isinstance(parse_number(written, 0, 10**9), Fault)
