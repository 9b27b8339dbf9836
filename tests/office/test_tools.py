"""The tools of all bays on one page: clicks, where and when last, and when they are due for calibration."""

from __future__ import annotations

import hashlib

from assistant.facts.inputs import ToolFile
from assistant.kept.tool_facts import clicks_since
from assistant.procedure.format.tool_file import read_tool_file
from tests.jobs import ROOT, SHORT, work
from tests.office.test_pages import fetch

PRACTICE = ROOT / "procedures/tools/practice-bay.yaml"


def taken(text=None):
    """Return what a job keeps of the tool file of its bay."""
    text = PRACTICE.read_text("utf-8") if text is None else text
    return ToolFile("tools.yaml", text, hashlib.sha256(text.encode()).hexdigest(), {})


def rows(office):
    return {(row.name, row.bays): row for row in office.desk.tools()}


def test_clicks_are_counted_for_each_bay_and_rehearsals_move_no_tool(workshop, serve):
    bays = workshop.bay("bay1"), workshop.bay("bay2")
    first = work(bays[0], SHORT, tools=taken())
    second = work(bays[1], SHORT, tools=taken(), start_s=1_790_086_400.0)
    work(bays[1], SHORT, tools=taken(), start_s=1_790_172_800.0, rehearsal=True)
    box = read_tool_file(PRACTICE).box
    both = clicks_since(box, bays[0])  # as `assistant tools` counts, over the journal of the workshop
    clicked = next(wrench for wrench in box.wrenches if both[wrench.id])
    office = serve(workshop)
    found = rows(office)
    mine, other = (found[clicked.name, (bay,)] for bay in ("bay1", "bay2"))
    assert mine.clicks + other.clicks == both[clicked.id] > 0
    assert (mine.jobs, other.jobs) == (1, 1)
    assert (mine.last_job, other.last_job) == (first, second)
    assert mine.since == clicked.uses + mine.clicks
    page = fetch(office, "/tools?q=bay1").body.decode()
    assert clicked.name in page
    assert second not in page


def test_a_tool_with_a_serial_number_is_one_tool_wherever_it_lies(workshop, serve):
    name = "    name: small wrench\n"
    text = PRACTICE.read_text("utf-8").replace(name, f"{name}    serial: W-1001\n")
    newer = text.replace("calibrated: 2026-05-04", "calibrated: 2026-09-22")
    work(workshop.bay("bay1"), SHORT, tools=taken(text))
    work(workshop.bay("bay2"), SHORT, tools=taken(newer), start_s=1_790_086_400.0)
    row = rows(serve(workshop))["small wrench", ("bay1", "bay2")]
    assert (row.serial, row.jobs) == ("W-1001", 2)
    assert row.clicks == 2 * (row.since - 240), "those of the day before its newest calibration do not count since then"
    assert row.due_on == "2027-09-22"


def test_a_tool_of_no_file_is_listed_all_the_same(workshop, serve):
    bay = workshop.bay("bay1")
    name = work(bay, SHORT, tools=taken())
    workshop.admin.ask("SET session_replication_role = replica")
    workshop.admin.ask(
        "UPDATE shop.entry SET data = replace(data, '\"tool\":\"', '\"tool\":\"old-') WHERE kind = 'tightened'"
    )
    office = serve(workshop)
    row = next(one for one in office.desk.tools() if not one.known)
    assert (row.name[:4], row.last_job) == ("old-", name)
    assert "in no tool file" in fetch(office, "/tools").body.decode()
