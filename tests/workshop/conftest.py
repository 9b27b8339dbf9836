"""A central store with two workshops in it, and links of their bays and offices."""

from __future__ import annotations

import contextlib

import pytest

from assistant.central.link import CentralLink
from assistant.workshop.members import add_member, add_workshop
from tests.workshop.desk import Desk


@pytest.fixture
def places(shop):
    """Where bays and offices reach the store: the place of WORKSHOP.BAY, made when it is asked for first."""
    with contextlib.closing(CentralLink(shop.admin)) as admin:
        add_workshop(admin, "alder")
        add_workshop(admin, "birch")
        made = {}

        def place(login):
            if login not in made:
                workshop, _, bay = login.partition(".")
                made[login] = shop.as_login(*add_member(admin, workshop, bay, office=bay == "office"))
            return made[login]

        yield place


@pytest.fixture
def links(places):
    """Make links."""
    with contextlib.ExitStack() as stack:
        yield lambda login: stack.enter_context(contextlib.closing(CentralLink(places(login))))


@pytest.fixture
def office(links):
    """The link of the office of Alder."""
    return links("alder.office")


@pytest.fixture
def bay(links):
    """The link of a bay of Alder."""
    return links("alder.bay1")


@pytest.fixture
def admin(shop):
    """The link of who owns the store."""
    with contextlib.closing(CentralLink(shop.admin)) as link:
        yield link


@pytest.fixture
def desk(tmp_path, places):
    """The desk of the office of Alder."""
    return Desk(tmp_path / "office", places("alder.office"))
