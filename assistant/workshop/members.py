"""Workshops, their bays and their office: who may log in to the central store. Made by its administrator."""

from __future__ import annotations

import secrets

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.journal.names import bay_fault

OFFICE = "office"


def add_workshop(link: CentralLink, workshop: str) -> None:
    """Make room for ``workshop``; harmless when there is.

    Raises:
        CentralFault: it cannot be called that, or the login is no administrator.
    """
    if why := bay_fault(workshop):
        raise CentralFault(f'A workshop cannot be called "{workshop}": {why}.')
    link.ask("SELECT shop.add_workshop(%s)", (workshop,))


def add_member(link: CentralLink, workshop: str, bay: str, *, office: bool = False) -> tuple[str, str]:
    """Let ``bay`` of ``workshop`` log in (or its office); return its login and its new token, which is kept nowhere.

    Who had a login gets another token, and the old one ends.

    Raises:
        CentralFault: it cannot be called that, there is no such workshop, or the login is no administrator.
    """
    if why := bay_fault(bay):
        raise CentralFault(f'A bay cannot be called "{bay}": {why}.')
    if link.one("SELECT 1 FROM shop.workshop WHERE name = %s", (workshop,)) is None:
        raise CentralFault(f'There is no workshop "{workshop}"; make it with: assistant workshop add {workshop}')
    login, token = f"{workshop}.{bay}", secrets.token_urlsafe(24)
    role = "office" if office else "bay"
    link.ask("SELECT shop.add_login(%s, %s, %s, %s, %s)", (login, workshop, role, bay, link.verifier(login, token)))
    return login, token


def end_member(link: CentralLink, workshop: str, bay: str) -> None:
    """End the login of ``bay`` of ``workshop``; what it sent stays.

    Raises:
        CentralFault: there is none.
    """
    login = f"{workshop}.{bay}"
    if link.one("SELECT 1 FROM shop.member WHERE login = %s", (login,)) is None:
        raise CentralFault(f'There is no bay "{bay}" in the workshop "{workshop}"; see: assistant workshop bays')
    link.ask("SELECT shop.end_login(%s)", (login,))
