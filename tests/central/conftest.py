"""An administrator's link to a central store with one workshop in it."""

import contextlib

import pytest

from assistant.central.link import CentralLink
from assistant.workshop.members import add_workshop


@pytest.fixture
def admin(shop):
    with contextlib.closing(CentralLink(shop.admin)) as link:
        add_workshop(link, "alder")
        yield link
