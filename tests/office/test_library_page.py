"""The library of the workshop on a page of the office: what is released, for whom, and what was withdrawn and why."""

from __future__ import annotations

import contextlib
import re
from html import unescape

import pytest

from assistant.central.link import CentralLink
from assistant.workshop.library_file import prepare_file
from assistant.workshop.library_store import library_items, put_in_library, take_out_of_library
from tests.office.test_pages import fetch
from tests.workshop.published import procedure

BY = "Kim <b>Example</b>"


@pytest.fixture
def link(workshop):
    with contextlib.closing(CentralLink(workshop.place)) as link:
        yield link


def rows(office, path="/library"):
    """Return the cells of each row."""
    page = fetch(office, path).body.decode()
    found = re.findall(r'<tr role="row">\n<th role="rowheader".*?</tr>', page, re.DOTALL)
    return [[unescape(re.sub("<[^>]*>", "", cell)) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)] for row in found]


def test_what_is_published_is_listed_the_newest_first_with_what_was_withdrawn(workshop, serve, link, tmp_path):
    workshop.bay("bay1"), workshop.bay("bay2")
    for revision, bays in ((1, ()), (2, ("bay2",))):
        put_in_library(link, prepare_file(procedure(tmp_path / "desk", revision)).files, bays, BY)
    first = [one for one in library_items(link) if one.revision == "1"]
    take_out_of_library(link, first, "The torque is <i>wrong</i>.", BY)
    office = serve(workshop)
    newer, older = rows(office)
    assert newer[0] == older[0] == "bench-check"
    assert (newer[3], older[3]) == ("2", "1")
    assert newer[4].startswith("by Alder Row training workshop on 2026-11-26")
    assert newer[5].endswith("by Kim <b>Example</b>")
    assert (newer[6], older[6]) == ("bay2", "all bays")
    assert (newer[7], older[7]) == ("", "withdrawn: The torque is <i>wrong</i>.")
    assert len(rows(office, "/library?q=bay2")) == 1
    assert b"<i>wrong" not in fetch(office, "/library").body
