"""The canonical form is that of RFC 8785 (JSON Canonicalization Scheme), so that anyone can build the hash."""

import json
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.journal.canonical import LARGEST, canonical

WORDS = st.text(st.characters(exclude_categories=["Cs"]))
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-LARGEST, LARGEST) | WORDS,
    lambda parts: st.lists(parts, max_size=5) | st.dictionaries(WORDS, parts, max_size=5),
    max_leaves=20,
)


def test_keys_are_sorted_as_in_the_example_of_rfc_8785_section_3_2_3():
    example = (
        r'{"\u20ac":"Euro Sign","\r":"Carriage Return","\ufb33":"Hebrew Letter Dalet With Dagesh","1":"One",'
        r'"\ud83d\ude00":"Emoji: Grinning Face","\u0080":"Control","\u00f6":"Latin Small Letter O With Diaeresis"}'
    )
    assert list(json.loads(canonical(json.loads(example))).values()) == [
        "Carriage Return",
        "One",
        "Control",
        "Latin Small Letter O With Diaeresis",
        "Euro Sign",
        "Emoji: Grinning Face",
        "Hebrew Letter Dalet With Dagesh",
    ]


def test_text_is_written_as_in_the_example_of_rfc_8785_section_3_2_2():
    example = r"""{"string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}"""
    expected = '{"literals":[null,true,false],"string":"' + "€$" + r"\u000f\nA'B\"\\\\\"/" + '"}'
    assert canonical(json.loads(example)) == expected


@given(VALUES)
def test_the_form_is_that_of_a_library_for_rfc_8785(value):
    rfc8785 = pytest.importorskip("rfc8785", reason="the library rfc8785 is not installed")
    assert canonical(value).encode() == rfc8785.dumps(value)


@pytest.mark.parametrize(
    "value",
    [
        1.5,
        float("nan"),
        {"deep": [0.1]},
        {1: "a"},
        {None: "a"},
        LARGEST + 1,
        -LARGEST - 1,
        "\ud800",
        {"\ud800": 1},
        Decimal("1.5"),
        b"raw",
        {1, 2},
    ],
    ids=repr,
)
def test_what_not_every_reader_would_read_alike_is_refused(value):
    with pytest.raises(TypeError):
        canonical(value)
