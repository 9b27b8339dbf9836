"""The wordings of a workshop: what is taken of a file, and what is said where it is none."""

import re
import unicodedata
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assistant.procedure.format.wordings_file import (
    MOST_HEAD_LETTERS,
    MOST_HEAD_LINES,
    MOST_TEXT_LETTERS,
    MOST_TEXT_LINES,
    MOST_WORDINGS_BYTES,
    WORDINGS_RULE,
    read_wordings,
    read_wordings_file,
)
from assistant.procedure.wordings import LETTERHEAD, SECTIONS, OwnPaper, OwnText, written_text

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "procedures" / "wordings-alder-row.txt"


def read(text):
    return read_wordings(text if isinstance(text, bytes) else text.encode(), "w.txt")


def told(text):
    reading = read(text)
    assert (reading.wordings is None) == bool(reading.findings)
    return [str(one) for one in reading.findings]


def test_the_demo_has_every_section_and_says_first_that_it_is_invented():
    wordings = read_wordings_file(DEMO).wordings
    assert "invented" in DEMO.read_text("utf-8").splitlines()[0]
    assert wordings.letterhead[0] == "Alder Row training workshop"
    assert set(wordings.texts) == set(OwnPaper)
    assert not any("safe" in line.casefold() for lines in wordings.texts.values() for line in lines)


def test_lines_stay_lines_and_an_empty_one_parts_paragraphs():
    lines = (
        "\ufeff# a remark", "", "[ Quote ]", "", "  Für  Sie:\tgeöffnet  ", "von 7 bis 4", "", "", "# 1 am Platz", "",
        "[letterhead]", "Müller", "", "Weg 1",
    )  # fmt: skip
    own = read("\r\n".join(lines)).wordings.on(OwnPaper.QUOTE)
    assert own.letterhead == ("Müller", "Weg 1")
    assert own.paragraphs == [["Für Sie: geöffnet", "von 7 bis 4"], ["# 1 am Platz"]]


def test_what_one_paper_has_no_other_one_has_but_for_the_letterhead():
    wordings = read("[letterhead]\nUs\n[invoice]\nPay soon.\n").wordings
    assert wordings.on(OwnPaper.INVOICE) == OwnText(("Us",), ("Pay soon.",))
    assert wordings.on(OwnPaper.RECORD) == OwnText(("Us",))
    assert not read("[invoice]\nPay soon.\n").wordings.on(OwnPaper.QUOTE)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[inovice]\nPay.\n", 'w.txt:1:1: error: There is no section [inovice]: did you mean "invoice"?'),
        ("[prices]\nPay.\n", "There is no section [prices]: write one of: customer, invoice, letterhead, order, "),
        ("[]\nPay.\n", "There is no section []: write one of: letterhead, quote, order, invoice, "),
        ("[quote]\na\n[invoice]\nb\n[quote]\nc\n",
         "w.txt:5:1: error: The section [quote] is there twice, first in line 1: keep one"),
        ("# a remark\nHello\n[quote]\na\n", "w.txt:2:1: error: This text stands in no section: write a line above it"),
        ("", "w.txt:1:1: error: There is no text in it: write one below a line such as [letterhead]"),
        ("[quote]\n\n[invoice]\n", "There is no text in it"),
        ("[quote]\nabc\x1b[2Jd\n", "w.txt:2:4: error: The character U+001B cannot be seen here: delete it"),
        ("[quote]\nabc\u202ed\n", "w.txt:2:4: error: The character U+202E cannot be seen here: delete it"),
        ("[quote]\nabc\u00add\n", "w.txt:2:4: error: The character U+00AD cannot be printed: delete it"),
        ("[quote]\nabc\ue000d\n", "w.txt:2:4: error: The character U+E000 cannot be printed: delete it"),
        ("[quote]\na" + 5 * "\u0336" + "\n", "w.txt:2:6: error: There are more than 4 accents on one letter"),
        ("[quote]\nabc\0d\n", "There is a NUL byte here: this is not a text file"),
        ("[quote]\nFür\n".encode("latin-1"), "w.txt:2:2: error: The byte 0xfc is not UTF-8 text: save the"),
        ("[quote]\nFür\n".encode("utf-16"), "The file is UTF-16: save it as UTF-8"),
        ("#" * (MOST_WORDINGS_BYTES + 1), "The file is longer than 64,000 bytes: no file of this kind is; name a word"),
        ("[letterhead]\n" + "a\n" * (MOST_HEAD_LINES + 1), "The section [letterhead] has 9 lines: write at most 8"),
        ("[letterhead]\n" + "a" * (MOST_HEAD_LETTERS + 1), "has 81 letters in one line: write at most 80"),
        ("[sheet]\n" + "a\n" * (MOST_TEXT_LINES + 1), "The section [sheet] has 61 lines: write at most 60"),
        ("[sheet]\n" + "a" * (MOST_TEXT_LETTERS + 1), "has 2,001 letters: write at most 2,000"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_one_sentence_with_its_place(text, says):
    first, *more = told(text)
    assert says in first
    assert first.startswith("w.txt:")
    assert more == []


def test_what_is_just_as_long_as_it_may_be_is_taken():
    letterhead = "\n".join("ä" * MOST_HEAD_LETTERS for _ in range(MOST_HEAD_LINES))
    texts = "".join(f"[{one.value}]\n{'ß' * MOST_TEXT_LETTERS}\n" for one in OwnPaper)
    assert told(f"[letterhead]\n{letterhead}\n{texts}") == []


_HEADINGS = st.sampled_from([f"[{name}]" for name in SECTIONS])
_ODD = st.text(st.characters(), max_size=40) | st.sampled_from(
    ["<script>alert(1)</script>", "{{ 7 * 7 }}", "</style>", "&amp;", "[", "[x]", "=1+1", "\u202e", "a\u0301" * 30]
)
_FILES = st.lists(_HEADINGS | _ODD, max_size=30).map("\n".join)


@given(_FILES.map(lambda text: text.encode("utf-8", "surrogatepass")) | st.binary(max_size=300))
@example(b"[letterhead]\n" + 3000 * b"[letterhead]\n")
def test_any_file_is_taken_whole_or_gets_sentences(data):
    """What is taken can be printed, and is the same when it is written and read again."""
    reading = read(data)
    assert (reading.wordings is None) == bool(reading.findings)
    for line in map(str, reading.findings):
        assert "\n" not in line
        assert line.isprintable()
    if reading.wordings is None:
        return
    for paper in OwnPaper:
        own = reading.wordings.on(paper)
        for line in (*own.letterhead, *own.lines):
            assert all(letter.isprintable() or unicodedata.category(letter) == "Zs" for letter in line)
        again = read(written_text(own, paper))
        assert (again.wordings is not None and again.wordings.on(paper) == own) or not own


def test_every_section_and_bound_is_on_the_page():
    page = (ROOT / "docs" / "wordings.md").read_text("utf-8")
    for name in SECTIONS:
        assert f"| `[{name}]` |" in page
    for bound in (MOST_HEAD_LINES, MOST_HEAD_LETTERS, MOST_TEXT_LINES, MOST_TEXT_LETTERS, MOST_WORDINGS_BYTES):
        assert re.search(rf"\b{bound:,}\b", page), bound
    assert f"## {WORDINGS_RULE}" in page
    assert SECTIONS[0] == LETTERHEAD
