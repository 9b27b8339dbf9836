"""One library of a workshop: what the office publishes and withdraws, and what a bay has of it, whatever happens."""

from __future__ import annotations

import json
import os
import shutil
from dataclasses import replace
from hashlib import sha256

import pytest

from assistant.central.place import CentralFault
from assistant.terminal.exits import Refusal
from assistant.workshop.library import LibraryKind
from assistant.workshop.library_copy import INDEX, LocalLibrary
from assistant.workshop.library_file import prepare_file
from assistant.workshop.library_refresh import refresh_library
from assistant.workshop.library_store import library_channel, library_items, put_in_library, take_out_of_library
from tests.workshop.published import ROOT, picture, procedure

BY = "Kim Example"


def put(office, path, bays=(), **options):
    return put_in_library(office, prepare_file(path, **options).files, bays, BY)


def usable(folder):
    """What a bay can start: id and revision, where the copy is whole."""
    library = LocalLibrary(folder)
    return [(one.id, one.revision) for one in library.procedures() if library.is_whole(one)]


@pytest.fixture
def desk(tmp_path):
    return tmp_path / "desk"


@pytest.fixture
def copy(tmp_path):
    return tmp_path / "bay" / "library"


# Publishing


def test_what_the_desk_publishes_is_in_the_bay_byte_for_byte_with_its_pictures(office, bay, desk, copy):
    drawn = picture(desk / "lid.png")
    path = procedure(desk, shows="lid.png")
    assert put(office, path) == [True, True]
    came = refresh_library(bay, copy)
    assert (came.faults, usable(copy)) == ((), [("bench-check", "1")])
    library = LocalLibrary(copy)
    (item,) = library.procedures()
    there = library.path(item)
    assert there.read_bytes() == path.read_bytes()
    assert (there.parent / "lid.png").read_bytes() == drawn.read_bytes()
    assert (item.title, item.approved, item.approved_by, item.approved_on) == (
        "Bench check", "yes", "Alder Row training workshop", "2026-11-26",
    )  # fmt: skip
    assert (item.by, item.withdrawn) == (BY, None)


def test_nothing_is_fetched_or_written_twice(office, bay, desk, copy):
    put(office, procedure(desk))
    assert refresh_library(bay, copy).fetched == 1
    before = (copy / INDEX).read_bytes()
    os.utime(copy / INDEX, (0, 0))
    assert refresh_library(bay, copy).fetched == 0
    assert (copy / INDEX).read_bytes() == before
    assert LocalLibrary(copy).asked_at > 0, "but it is known that the store was asked"


def test_the_last_published_revision_is_the_newest_and_a_withdrawn_one_is_never_offered(office, bay, desk, copy):
    for revision in (9, 10):
        put(office, procedure(desk, revision))
    refresh_library(bay, copy)
    assert usable(copy) == [("bench-check", "10")]
    take_out_of_library(
        office, [one for one in library_items(office) if one.revision == "10"], "The torque is wrong.", BY
    )
    assert refresh_library(bay, copy).faults == ()
    assert usable(copy) == [("bench-check", "9")]
    gone = LocalLibrary(copy).withdrawal("bench-check", "10")
    assert (gone.reason, gone.by) == ("The torque is wrong.", BY)
    assert LocalLibrary(copy).withdrawal("bench-check", "9") is None


def test_the_same_revision_with_another_content_is_refused_and_the_first_one_stays(office, bay, desk, copy):
    path = procedure(desk)
    first = path.read_bytes()
    put(office, path)
    assert put(office, path) == [False], "the same once more is harmless"
    with pytest.raises(CentralFault, match="revision 1 of bench-check is published with another content, which stays"):
        put(office, procedure(desk, more="a small change"))
    refresh_library(bay, copy)
    library = LocalLibrary(copy)
    assert library.path(library.procedures()[0]).read_bytes() == first


def test_the_same_revision_with_another_picture_is_refused_and_nothing_of_it_is_kept(office, desk):
    picture(desk / "lid.png")
    put(office, procedure(desk, shows="lid.png"))
    picture(desk / "lid.png", shade=99)
    with pytest.raises(CentralFault, match="published with another content"):
        put(office, procedure(desk, shows="lid.png"))
    assert [one.kind for one in library_items(office)] == [LibraryKind.PROCEDURE, LibraryKind.PICTURE]


def test_what_was_withdrawn_does_not_come_back_and_is_not_withdrawn_twice(office, desk):
    put(office, procedure(desk))
    take_out_of_library(office, library_items(office), "Wrong.", BY)
    with pytest.raises(CentralFault, match="revision 1 of bench-check was withdrawn before"):
        take_out_of_library(office, library_items(office), "Once more.", BY)
    with pytest.raises(CentralFault, match="was withdrawn, and does not come back; give it a revision of its own"):
        put(office, procedure(desk))
    assert library_items(office)[0].withdrawn.reason == "Wrong."


def test_what_check_refuses_is_not_published(desk):
    path = procedure(desk)
    path.write_text(path.read_text("utf-8").replace("bolts: [1, 3, 2, 4]", "bolts: [1, 3, 2, 9]"), "utf-8")
    with pytest.raises(Refusal, match=r"(?s)bolt.*is not published: mend it first"):
        prepare_file(path, unapproved=True)


def test_a_procedure_that_nobody_approved_as_it_is_is_published_only_when_that_is_said(office, desk):
    with pytest.raises(Refusal, match="not approved, and so is not published"):
        prepare_file(procedure(desk, approved=False))
    path = procedure(desk)
    path.write_text(path.read_text("utf-8").replace("eight millimetre", "six millimetre"), "utf-8")
    with pytest.raises(Refusal, match="not approved as it is now"):
        prepare_file(path)
    put(office, path, unapproved=True)
    assert library_items(office)[0].approved == "changed"


def test_a_procedure_whose_picture_is_not_there_is_not_published(desk):
    with pytest.raises(Refusal, match=r"lid\.png is not there: put it beside the procedure file: a procedure is publ"):
        prepare_file(procedure(desk, shows="lid.png"))


def test_tools_prices_and_wordings_lie_where_a_setting_can_name_them_until_they_are_withdrawn(office, bay, desk, copy):
    tools = next((ROOT / "procedures" / "tools").glob("*.yaml"))
    prices = ROOT / "procedures" / "prices-alder-row.csv"
    desk.mkdir()
    words = desk / "greeting.txt"
    words.write_text("[customer]\nWe write to you when your machine is ready.\n", "utf-8")
    put(office, tools, kind=LibraryKind.TOOLS, name="bay-tools")
    put(office, prices)
    put(office, words)
    assert refresh_library(bay, copy).faults == ()
    now = {path.name: path.read_bytes() for path in (copy / "now").iterdir()}
    assert now == {
        "bay-tools.yaml": tools.read_bytes(),
        "prices-alder-row.csv": prices.read_bytes(),
        "greeting.txt": words.read_bytes(),
    }
    words.write_text("[customer]\nYour machine is ready.\n", "utf-8")
    put(office, words)
    refresh_library(bay, copy)
    assert (copy / "now" / "greeting.txt").read_bytes() == words.read_bytes()
    take_out_of_library(
        office, [one for one in library_items(office) if one.kind is LibraryKind.WORDINGS], "Unkind.", BY
    )
    refresh_library(bay, copy)
    assert not (copy / "now" / "greeting.txt").exists()


# Who may


def test_each_bay_has_what_it_may_use_and_more_bays_can_be_let_in_later(office, links, desk, tmp_path):
    one, two = links("alder.bay1"), links("alder.bay2")
    put(office, procedure(desk, ident="for-all"))
    put(office, procedure(desk, ident="for-one"), ["bay1"])
    refresh_library(one, tmp_path / "1")
    refresh_library(two, tmp_path / "2")
    assert usable(tmp_path / "1") == [("for-all", "1"), ("for-one", "1")]
    assert usable(tmp_path / "2") == [("for-all", "1")]
    assert two.ask("SELECT id FROM shop.published") == [("for-all",)]
    put(office, procedure(desk, ident="for-one"), ["bay2"])
    refresh_library(two, tmp_path / "2")
    assert usable(tmp_path / "2") == [("for-all", "1"), ("for-one", "1")]
    with pytest.raises(CentralFault, match="there is no bay bay9 in this workshop"):
        put(office, procedure(desk, ident="for-one"), ["bay9"])


def test_another_workshop_sees_nothing_and_may_use_the_same_names(office, links, desk, copy):
    put(office, procedure(desk))
    stranger, theirs = links("birch.office"), links("birch.bay1")
    assert library_items(stranger) == []
    for table in ("published", "allowed", "withdrawn"):
        assert stranger.ask(f"SELECT * FROM shop.{table}") == []
    put(stranger, procedure(desk, more="of Birch"))
    refresh_library(theirs, copy)
    assert b"of Birch" in LocalLibrary(copy).path(LocalLibrary(copy).procedures()[0]).read_bytes()
    with pytest.raises(CentralFault, match="there is no revision 1 of another"):
        take_out_of_library(stranger, [replace(library_items(office)[0], id="another")], "Not ours.", BY)
    assert library_items(office)[0].withdrawn is None


def test_a_bay_publishes_and_withdraws_nothing(office, bay, desk):
    put(office, procedure(desk))
    with pytest.raises(CentralFault, match="may not do that in the central store; ask the office"):
        put(bay, procedure(desk, 2))
    with pytest.raises(CentralFault, match="may not do that"):
        take_out_of_library(bay, library_items(bay), "I do not like it.", BY)


@pytest.mark.parametrize("table", ["published", "allowed", "withdrawn"])
@pytest.mark.parametrize(
    "statement", ["UPDATE shop.{} SET revision = '7'", "DELETE FROM shop.{}", "TRUNCATE shop.{} CASCADE"]
)
def test_even_the_administrator_changes_and_removes_nothing(office, admin, desk, table, statement):
    put(office, procedure(desk))
    take_out_of_library(office, library_items(office), "Wrong.", BY)
    with pytest.raises(CentralFault, match="cannot be (changed or )?removed"):
        admin.ask(statement.format(table))


# A bay and its copy


def test_a_bay_without_a_network_goes_on_with_its_copy_and_knows_how_old_it_is(office, links, admin, desk, copy):
    bay = links("alder.bay1")
    put(office, procedure(desk))
    refresh_library(bay, copy)
    asked = LocalLibrary(copy).asked_at
    admin.ask("SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = 'alder.bay1'")
    came = refresh_library(bay, copy)
    assert came.gone
    assert len(came.faults) == 1
    assert usable(copy) == [("bench-check", "1")]
    assert LocalLibrary(copy).asked_at == asked


def test_a_damaged_copy_is_not_offered_and_no_older_one_in_its_place_until_it_is_fetched_again(office, bay, desk, copy):
    picture(desk / "lid.png")
    for revision in (1, 2):
        put(office, procedure(desk, revision, shows="lid.png"))
    refresh_library(bay, copy)
    library = LocalLibrary(copy)
    (item,) = library.procedures()
    for spoilt in (library.path(item), library.path(item).parent / "lid.png"):
        good = spoilt.read_bytes()
        spoilt.write_bytes(good[:-7])
        assert usable(copy) == []
        assert refresh_library(bay, copy).faults == ()
        assert (usable(copy), spoilt.read_bytes()) == ([("bench-check", "2")], good)
    shutil.rmtree(library.path(item).parent)
    assert usable(copy) == []
    refresh_library(bay, copy)
    assert usable(copy) == [("bench-check", "2")]


@pytest.mark.parametrize(
    "left", [b"", b"{", b"[]", b'{"format": 1}', b"\xff\xfe", b'{"format": 9, "items": []}', b"[" * 99_999]
)
def test_a_half_written_index_is_none_and_the_next_refresh_makes_it_anew(office, bay, desk, copy, left):
    put(office, procedure(desk))
    refresh_library(bay, copy)
    (copy / INDEX).write_bytes(left)
    (copy / f"{INDEX}.new").write_bytes(b"a write that a lost mains has cut")
    assert usable(copy) == []
    assert refresh_library(bay, copy).faults == ()
    assert usable(copy) == [("bench-check", "1")]


def test_an_index_that_names_a_way_out_of_the_folder_is_not_followed(office, bay, desk, copy):
    put(office, procedure(desk))
    refresh_library(bay, copy)
    told = json.loads((copy / INDEX).read_bytes())
    for name, value in (("sha256", "../../../etc"), ("id", "../passwd"), ("kind", "program"), ("size", 10**9)):
        (copy / INDEX).write_text(json.dumps({**told, "items": [{**told["items"][0], name: value}]}), "utf-8")
        os.utime(copy / INDEX, (len(value) if isinstance(value, str) else 1, 1))
        assert LocalLibrary(copy).items == [], name


def hostile(admin, **fields):
    """Put a row into the store as nobody could by its functions and checks."""
    for rule in ("id_form", "revision_form", "content_size", "content_hash"):
        admin.ask(f"ALTER TABLE shop.published DROP CONSTRAINT IF EXISTS {rule}")
    content = fields.get("content", b"procedure: {id: x}\n")
    row = {
        "kind": "procedure",
        "id": "mine",
        "revision": "1",
        "sha256": sha256(content).hexdigest(),
        "shows": [],
    } | fields
    admin.ask(
        "INSERT INTO shop.published (workshop, kind, id, revision, title, content, sha256, approved, approved_by,"
        " approved_on, shows, by, login) VALUES ('alder', %(kind)s, %(id)s, %(revision)s, '', %(content)s, %(sha256)s,"
        " 'yes', '', '', %(shows)s::text[], '', '')",
        {"content": content, **row},
    )
    admin.ask(
        "INSERT INTO shop.allowed (workshop, kind, id, revision, bay, login)"
        " VALUES ('alder', %(kind)s, %(id)s, %(revision)s, '', '')",
        row,
    )


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"sha256": "0" * 64}, "its content is not what its hash says"),
        ({"sha256": "../../evil"}, "a hash of it is none"),
        ({"content": 10_000_000 * b"x"}, "it has 10,000,000 bytes"),
        ({"id": "../../../tmp/evil"}, "its name cannot be used"),
        ({"id": "/etc/passwd"}, "its name cannot be used"),
        ({"kind": "picture", "id": "../lid.png"}, "its name cannot be used"),
        ({"shows": ["../lid.png", "0" * 64]}, "under names that cannot be used"),
        ({"shows": ["lid.png", "0" * 64]}, "not all of its pictures are as they were published"),
        ({"revision": "1\n2"}, "its revision cannot be used"),
    ],
)
def test_what_no_office_would_send_is_not_taken_and_all_else_is(office, bay, admin, desk, copy, fields, why):
    put(office, procedure(desk))
    hostile(admin, **fields)
    came = refresh_library(bay, copy)
    assert [one for one in came.faults if why in one] == list(came.faults)
    assert len(came.faults) == 1
    assert usable(copy) == [("bench-check", "1")]
    inside = {path for path in copy.rglob("*") if path.is_file()}
    assert {path for path in copy.parent.parent.rglob("*") if path.is_file()} - inside == {desk / "bench-check.yaml"}


def test_a_store_that_says_otherwise_later_does_not_change_what_the_bay_has(office, bay, admin, desk, copy):
    put(office, procedure(desk))
    refresh_library(bay, copy)
    library = LocalLibrary(copy)
    first = library.path(library.procedures()[0]).read_bytes()
    admin.ask("ALTER TABLE shop.published DISABLE TRIGGER ALL")
    other = first + b"# another\n"
    values = (other, sha256(other).hexdigest())
    admin.ask("UPDATE shop.published SET content = %s, sha256 = %s", values)
    came = refresh_library(bay, copy)
    assert "it is another one than the bay has under the same revision" in came.faults[0]
    assert library.path(library.procedures()[0]).read_bytes() == first


def test_the_copy_of_another_workshop_is_not_mixed_with_ones_own(office, links, bay, desk, copy):
    put(office, procedure(desk))
    refresh_library(bay, copy)
    refresh_library(links("birch.bay1"), copy)
    assert usable(copy) == []


def test_a_disk_that_takes_nothing_leaves_the_copy_as_it_was(office, bay, desk, copy):
    put(office, procedure(desk))
    refresh_library(bay, copy)
    put(office, procedure(desk, 2))
    (copy / sha256((desk / "bench-check.yaml").read_bytes()).hexdigest()).write_bytes(b"in the way")
    came = refresh_library(bay, copy)
    assert "cannot be written" in came.faults[0]
    assert usable(copy) == [("bench-check", "1")]


def test_the_bay_is_told_of_a_change_at_once(office, bay, desk):
    channel = library_channel(bay.place.login)
    assert bay.listen(channel, 0.0) == []
    put(office, procedure(desk))
    assert bay.listen(channel, 20.0) == [""]
