"""What the administrator of the central store asks of it: its database, its workshops, and who may log in."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from assistant.central.link import CentralLink
from assistant.central.migrating import SchemaStep, migrate
from assistant.central.place import CentralFault, CentralPlace

_FIRST = "postgres"
"""The database that every cluster has."""
_PROGRAM = "step-assistant workshop"
_CONNECT_S = 60

_MEMBERS = """
SELECT m.workshop, m.bay, m.role, m.login, coalesce(r.rolcanlogin, false), m.added_at,
       count(j.name), coalesce(sum(j.seq), 0), max(j.changed_at),
       (SELECT count(*) FROM shop.aside a WHERE a.workshop = m.workshop AND a.sent_by = m.bay)
  FROM shop.member m LEFT JOIN pg_roles r ON r.rolname = m.login
  LEFT JOIN shop.job j ON j.workshop = m.workshop AND j.bay = m.bay
 WHERE m.workshop = %s GROUP BY m.workshop, m.bay, m.role, m.login, r.rolcanlogin, m.added_at ORDER BY m.bay
"""


@dataclass(frozen=True, slots=True)
class Member:
    """A bay or an office of a workshop, whether it may log in, and what came of the jobs that were opened there."""

    workshop: str
    bay: str
    role: str
    login: str
    may_log_in: bool
    added_at: datetime
    jobs: int
    entries: int
    last_at: datetime | None
    aside: int


def admin_link(place: CentralPlace, answer_s: float = 60) -> CentralLink:
    """Return a link for the administrator, who does not try again; an answer is given up after ``answer_s`` [s].

    Raises:
        CentralFault: the store cannot be reached, or refuses the login.
    """
    return CentralLink(place, program=_PROGRAM, answer_s=answer_s, connect_s=_CONNECT_S)


def set_up(place: CentralPlace) -> tuple[bool, list[SchemaStep]]:
    """Make the central store at ``place``, or bring it to the newest schema.

    Returns:
        Whether its database was made, and the steps of the schema that were missing.

    Raises:
        CentralFault: the server cannot be reached, the login is no administrator, or a step fails: nothing was changed.
    """
    made = _make_database(place)
    with contextlib.closing(admin_link(place)) as link:
        steps = migrate(link)
        link.ask(f"GRANT CONNECT ON DATABASE {_quoted(place.database)} TO shop_bay, shop_office")
        return made, steps


def _make_database(place: CentralPlace) -> bool:
    with contextlib.closing(admin_link(replace(place, database=_FIRST))) as link:
        if link.one("SELECT 1 FROM pg_database WHERE datname = %s", (place.database,)) is not None:
            return False
        link.ask(f"CREATE DATABASE {_quoted(place.database)} TEMPLATE template0 ENCODING 'UTF8'")
        # Who is let in is named by roles; nobody else needs to look into this database.
        link.ask(f"REVOKE ALL ON DATABASE {_quoted(place.database)} FROM PUBLIC")
    return True


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def workshops(link: CentralLink) -> list[str]:
    """Return the names of the workshops that the login may see."""
    return [str(name) for (name,) in link.ask("SELECT name FROM shop.workshop ORDER BY name")]


def the_workshop(link: CentralLink, named: str) -> str:
    """Return the workshop that is ``named``; where none is, the only one that the login may see.

    Raises:
        CentralFault: there is no such workshop, or there are several and none is named.
    """
    known = workshops(link)
    if named and named not in known:
        raise CentralFault(f'There is no workshop "{named}"; {_known(known)}')
    if not named and len(known) != 1:
        raise CentralFault(f"Say which workshop is meant, with --workshop NAME; {_known(known)}")
    return named or known[0]


def _known(names: Sequence[str]) -> str:
    if not names:
        return "there is none yet: assistant workshop add NAME"
    return f"there {'is' if len(names) == 1 else 'are'} {', '.join(names[:8])}{' and more' if len(names) > 8 else ''}."


def members_of(link: CentralLink, workshop: str) -> list[Member]:
    """Return who may log in for ``workshop``, and whose login ended."""
    return [Member(*row) for row in link.ask(_MEMBERS, (workshop,))]
