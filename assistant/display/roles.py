"""Who may open which page of the office. Pure: who somebody is stands elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class OfficeRole(StrEnum):
    """What somebody is at the workshop; each later one may do what the earlier ones may."""

    MECHANIC = "mechanic"
    FOREMAN = "foreman"
    OFFICE = "office"


@dataclass(frozen=True, slots=True)
class OfficePerson:
    """Somebody who logged in: what he is called, and his role."""

    name: str
    role: OfficeRole


LEAST_ROLES: Mapping[str, OfficeRole] = {
    "/": OfficeRole.MECHANIC,
    "/jobs": OfficeRole.MECHANIC,
    "/jobs/{job}": OfficeRole.MECHANIC,
    "/jobs/{job}/record.pdf": OfficeRole.MECHANIC,
    "/events": OfficeRole.MECHANIC,
    "/procedures": OfficeRole.FOREMAN,
    "/procedures/{name}": OfficeRole.FOREMAN,
    "/library": OfficeRole.FOREMAN,
    "/machines": OfficeRole.FOREMAN,
    "/due": OfficeRole.FOREMAN,
    "/due.ics": OfficeRole.FOREMAN,
    "/tools": OfficeRole.FOREMAN,
    "/search": OfficeRole.OFFICE,
    "/exports": OfficeRole.OFFICE,
    "/exports/{what}.{form}": OfficeRole.OFFICE,
    "/members": OfficeRole.OFFICE,
}
"""The least role for each page; a page that stands not here is shown to nobody. docs/office.md has the same table."""
WITHOUT_LOGIN = frozenset({"/login", "/login/back", "/logout"})
"""What is open to who has not logged in: how to do so. Below ``/static`` is only how pages look."""


def needs_no_login(path: str) -> bool:
    """Return whether a path needs no login."""
    return path in WITHOUT_LOGIN or path.startswith("/static/")


def may_open(role: OfficeRole, route: str) -> bool:
    """Return whether ``role`` may open the page of ``route``, as it stands in :data:`LEAST_ROLES`."""
    order = list(OfficeRole)
    return order.index(role) >= order.index(LEAST_ROLES[route])
