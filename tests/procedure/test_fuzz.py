"""Whatever stands in a file: findings with a line, or a procedure; never an exception, never slow."""

import re
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assistant.procedure.findings import Level
from assistant.procedure.format.document import FILE
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.records import records
from assistant.procedure.rules.table import all_rules

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
GOOD = [
    path.read_bytes()
    for path in sorted([*(ROOT / "procedures").glob("*.yaml"), *(ROOT / "tests/procedure/good").glob("*.yaml")])
]
RULES = all_rules()
TWO_SECONDS = 2000
STRANGE = [
    *(b"~ [] {} &a *a !!x 1:30 .nan - ? : ' | # null on 1-999 all --- {a:{b:[c]}}".split(b" ")),
    *(b"<<: {}", b'"', b"- ", b"? ", b": ", b"9" * 400, b"\xc2\xb7", b"\xe2\x80\xae", b"\t", b"\\"),
]


def check(data: bytes) -> None:
    reading = read_text(data, "fuzz.yaml")
    lines = len(re.findall(rb"\r\n|\r|\n", data)) + 1
    for finding in reading.findings:
        assert 1 <= finding.line <= lines
        assert finding.column >= 1
        assert finding.rule in RULES
        assert re.fullmatch(r"[^\n]+[.?]", finding.text)
        assert finding.text.isprintable()
    errors = [finding for finding in reading.findings if finding.level is Level.ERROR]
    assert (reading.procedure is None) == bool(errors)
    places = [(finding.line, finding.column) for finding in reading.findings[:100]]
    assert places == sorted(places)


@given(st.binary(max_size=300))
@example(b"\xef\xbb\xbf")
@example(b"\xff\xfe")
@settings(deadline=TWO_SECONDS, max_examples=300)
def test_any_bytes(data):
    check(data)


@given(st.text(alphabet=" \n\t:-[]{},#&*!|>'\"%@`?~ab1.0<\\\r", max_size=120))
@settings(deadline=TWO_SECONDS, max_examples=500)
def test_any_text_of_yaml_signs(text):
    check(text.encode())


@st.composite
def mutated(draw):
    """A good file with a few lines lost, doubled, moved, indented anew, or with something strange put in."""
    lines = draw(st.sampled_from(GOOD)).split(b"\n")
    strange = st.sampled_from(STRANGE)
    for _ in range(draw(st.integers(1, 5))):
        at = draw(st.integers(0, len(lines) - 1))
        line = lines[at]
        match draw(st.integers(0, 5)):
            case 0:
                lines[at] = b""
            case 1:
                lines.insert(at, line)
            case 2:
                lines.insert(draw(st.integers(0, len(lines))), lines[at])
            case 3:
                lines[at] = b" " * draw(st.integers(0, 12)) + line.lstrip()
            case 4:
                cut = draw(st.integers(0, len(line)))
                lines[at] = line[:cut] + draw(strange) + line[cut:]
            case _:
                words = line.split(b" ")
                words[draw(st.integers(0, len(words) - 1))] = draw(strange)
                lines[at] = b" ".join(words)
    return b"\n".join(lines)


@given(mutated())
@settings(deadline=TWO_SECONDS, max_examples=300)
def test_any_small_change_of_a_good_file(data):
    check(data)


values = st.recursive(
    st.sampled_from(
        [
            "",
            "~",
            "a",
            "yes",
            "1",
            "-1",
            "0.1",
            ".inf",
            "1-3",
            "all",
            "5 N·m",
            "90°",
            "10 min",
            "at most 3 mm",
            "'x: y'",
        ]
    ),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda items: f"[{', '.join(items)}]")
        | st.dictionaries(
            st.sampled_from(sorted({key.name for one in records(FILE).values() for key in one.keys})), inner, max_size=6
        ).map(lambda pairs: "{" + ", ".join(f"{key}: {value}" for key, value in pairs.items()) + "}")
    ),
    max_leaves=25,
)


@given(st.lists(st.tuples(st.sampled_from([key.name for key in FILE.keys]), values), max_size=6))
@settings(deadline=TWO_SECONDS, max_examples=500)
def test_known_keys_with_any_values(pairs):
    check("\n".join(f"{key}: {value}" for key, value in pairs).encode())


@pytest.mark.parametrize("data", GOOD)
def test_every_beginning_of_a_good_file_is_answered(data):
    """An editor that saves half a file, or a full disk, must not bring the reader down."""
    for end in range(0, len(data), 97):
        check(data[:end])
