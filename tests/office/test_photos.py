"""The records of the office show the photos of all bays, and of its own workshop alone."""

from __future__ import annotations

import base64
import contextlib
import io
from hashlib import sha256

import pytest
from pypdf import PdfReader

from assistant.central.link import CentralLink
from assistant.workshop.photo_store import put_photo
from tests.central.photos import named, picture
from tests.jobs import SHORTEST, work
from tests.office.conftest import Workshop
from tests.office.test_pages import fetch, until


@pytest.fixture
def photographed(workshop):
    """A job of one bay with two photos, of which the first was sent; its name, and the photos."""
    bay = workshop.bay("bay1")
    name = work(bay, SHORTEST, most=3)
    photos = [picture(1), picture(2)]
    with contextlib.closing(bay.hold(name, 1_790_000_900_000)) as job:
        for number, data in enumerate(photos, 1):
            job.append(named(data, number), 1_790_000_900_000 + number)
    sent(workshop, name, photos[0])
    return name, photos


def sent(workshop, job, data):
    place = workshop.bay_places["bay1"]
    with contextlib.closing(CentralLink(place)) as link:
        assert put_photo(link, job, sha256(data).hexdigest(), data) == ""


@pytest.mark.timeout(180)
def test_a_record_has_the_photos_that_are_there_and_one_that_comes_later(workshop, serve, photographed):
    name, photos = photographed
    shown = [f"data:image/jpeg;base64,{base64.b64encode(data).decode('ascii')}".encode() for data in photos]
    office = serve(workshop)
    until(lambda: name in office.watch.shown.cards)
    page = fetch(office, f"/jobs/{name}")
    assert (page.status, [one in page.body for one in shown]) == (200, [True, False])
    assert page.headers["content-type"].startswith("text/html")
    assert "img-src data:" in page.headers["content-security-policy"]
    pdf = PdfReader(io.BytesIO(fetch(office, f"/jobs/{name}/record.pdf").body))
    assert len({one.data for sheet in pdf.pages for one in sheet.images}) == 1
    sent(workshop, name, photos[1])
    assert [one in fetch(office, f"/jobs/{name}").body for one in shown] == [True, True], "no entry came with it"


@pytest.mark.timeout(180)
def test_an_office_of_another_workshop_sees_no_photo(workshop, serve, shop, tmp_path, photographed):
    name, _ = photographed
    (tmp_path / "birch").mkdir()
    with contextlib.closing(Workshop(shop, tmp_path / "birch", "birch")) as other:
        office = serve(other)
        assert fetch(office, f"/jobs/{name}").status == 404
        assert fetch(office, f"/jobs/{name}/record.pdf").status == 404
