"""``assistant publish``, ``assistant withdraw`` and ``assistant library``, as the office and a bay call them."""

from __future__ import annotations

import json
import os
import socket

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from tests.workshop.desk import Desk
from tests.workshop.published import picture, procedure


@pytest.fixture
def bay(tmp_path, places):
    return Desk(tmp_path / "bay", places("alder.bay1"))


def test_from_the_desk_to_the_bay_and_back_out_of_use(desk, bay, tmp_path):
    picture(tmp_path / "files" / "lid.png")
    path = procedure(tmp_path / "files", 2, shows="lid.png")
    told = desk.call("publish", path, "--for", "bay1", "--by", "Kim Example")
    assert told == "Revision 2 of the procedure bench-check with 1 picture is published, for bay1.\n"
    assert "was published before, as it is, for bay1." in desk.call("publish", path, "--for", "bay1")
    assert "This bay has no copy of it yet" in bay.call("library")
    listed = bay.call("library", "--refresh")
    assert "The copy of this bay is up to date." in listed
    told = desk.call("withdraw", "bench-check", "--reason", "The torque is wrong.", "--by", "Kim Example")
    assert told == "Revision 2 of the procedure bench-check withdrawn. No revision is left.\n"
    (row,) = [one for one in json.loads(bay.call("library", "--refresh", "--json")) if one["kind"] == "procedure"]
    assert (row["revision"], row["state"], row["reason"]) == ("2", "withdrawn", "The torque is wrong.")
    assert "by Kim Example: The torque is wrong." in bay.call("library")
    again = desk.call("withdraw", "bench-check", "--reason", "x", "--by", "Kim", code=4)
    assert "was withdrawn before" in again


def test_a_job_of_the_bay_runs_on_what_the_desk_published_and_hears_that_it_was_withdrawn(desk, bay, tmp_path):
    path = procedure(tmp_path / "files", 2)
    desk.call("publish", path)
    bay.call("library", "--refresh")
    talk, more = tmp_path / "talk.txt", tmp_path / "more.txt"
    talk.write_text("next\npause\n", "utf-8")
    more.write_text("carry on\n", "utf-8")
    begun = bay.call("rehearse", "bench-check", "--typed", talk, code=3)
    assert "withdrawn" not in begun
    desk.call("withdraw", "bench-check", "--reason", "The torque is wrong.", "--by", "Kim Example")
    bay.call("library", "--refresh")
    gone_on = bay.call("rehearse", path, "--typed", more, "--job", "last", code=3)
    assert "The reason: The torque is wrong. This job goes on with it." in gone_on
    again = bay.call("rehearse", path, "--typed", talk, code=3)
    assert "Say confirmed to begin with it all the same." in again
    assert "bench-check cannot be read" in bay.call("rehearse", "bench-check", "--typed", talk, code=4)


def test_one_revision_is_withdrawn_and_bays_take_the_one_before(desk, tmp_path):
    for revision in (1, 2):
        desk.call("publish", procedure(tmp_path, revision))
    words = ("--reason", "Wrong.", "--by", "Kim")
    assert 'There is no revision "7" of the procedure "bench-check" in the library; there is: 1, 2' in desk.call(
        "withdraw", "bench-check", "--revision", "7", *words, code=4
    )
    assert desk.call("withdraw", "bench-check", "--revision", "2", *words).endswith("Bays take revision 1 now.\n")
    assert 'There is no procedure "none" in the library' in desk.call("withdraw", "none", *words, code=4)
    assert "Say why" in desk.call("withdraw", "bench-check", "--reason", " ", "--by", "Kim", code=2)


def test_a_refusal_is_one_sentence_and_nothing_is_published(desk, bay, tmp_path):
    unapproved = procedure(tmp_path, approved=False)
    assert "not approved, and so is not published" in desk.call("publish", unapproved, code=4)
    assert "Nobody approved it as it is" in desk.call("publish", unapproved, "--unapproved")
    assert "another content, which stays; give the changed one" in desk.call("publish", procedure(tmp_path), code=12)
    assert "may not do that in the central store; ask the office" in bay.call(
        "publish", procedure(tmp_path, 3), code=12
    )
    odd = tmp_path / "notes.doc"
    odd.write_bytes(b"x")
    assert "say what it is with --kind" in desk.call("publish", odd, code=2)
    assert "cannot be read" in desk.call("publish", tmp_path / "none.txt", code=4)
    assert "there is no bay bay7" in desk.call("publish", procedure(tmp_path, 3), "--for", "bay7", code=12)
    assert [one["revision"] for one in json.loads(desk.call("library", "--json"))] == ["1"]


def test_without_a_network_the_copy_is_listed_with_its_age(desk, bay, places, tmp_path):
    desk.call("publish", procedure(tmp_path))
    bay.call("library", "--refresh")
    index = bay.folder / "library" / "index.json"
    os.utime(index, (index.stat().st_atime, index.stat().st_mtime - 3 * 3600))
    with socket.socket() as nobody:
        nobody.bind(("127.0.0.1", 0))
        bay.reach(places("alder.bay1"), nobody.getsockname()[1])
        listed = bay.call("library", "--refresh", code=12)
    assert "cannot be reached" in listed
    assert "bench-check" in listed
    assert "The copy of this bay was brought up to date 3 h ago." in listed


def test_a_bay_that_stands_alone_has_no_library(tmp_path):
    done = CliRunner().invoke(app, ["library"], env={"ASSISTANT_HOME": str(tmp_path)})
    assert (done.exit_code, done.output.startswith("This bay stands alone")) == (2, True)
