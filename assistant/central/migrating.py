"""The schema of the central store, in numbered steps; each is applied once, whole or not at all, and never changed."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from importlib import resources

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault
from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.facts.store import fact_classes

TURNS = frozenset({Paused.KIND, CarriedOn.KIND, Closed.KIND})
_NAME = re.compile(r"(\d{3})_[a-z_]+\.sql")
_OWNER = "shop_owner"


@dataclass(frozen=True, slots=True)
class SchemaStep:
    """One step of the schema: its number, the name of its file, its statements and their SHA-256 in hexadecimal."""

    number: int
    name: str
    text: str

    @property
    def sha256(self) -> str:
        """The hash of its statements."""
        return hashlib.sha256(self.text.encode()).hexdigest()


def steps() -> list[SchemaStep]:
    """Return all steps that this version of the program knows, in order."""
    folder = resources.files("assistant.central") / "schema"
    found = [(match, one) for one in folder.iterdir() if (match := _NAME.fullmatch(one.name))]
    return sorted(
        (SchemaStep(int(m[1]), one.name, one.read_text("utf-8")) for m, one in found), key=lambda step: step.number
    )


def migrate(link: CentralLink) -> list[SchemaStep]:
    """Bring the store to the newest schema, and return the steps that were missing; the login must own the database.

    Raises:
        CentralFault: it is of a newer program, a step that was applied is another one by now, or one fails; nothing of
            what is missing was applied then.
    """
    with link.transaction():
        link.ask("SELECT pg_advisory_xact_lock(hashtext('shop.migrate'))")
        _roles(link)
        link.ask("CREATE SCHEMA IF NOT EXISTS shop AUTHORIZATION shop_owner")
        link.ask("SET LOCAL ROLE shop_owner")
        link.ask(
            "CREATE TABLE IF NOT EXISTS shop.migration (number integer PRIMARY KEY, name text NOT NULL,"
            " sha256 text NOT NULL, at timestamptz NOT NULL DEFAULT clock_timestamp())"
        )
        missing = _missing(link)
        for step in missing:
            link.ask(step.text)
            link.ask(
                "INSERT INTO shop.migration (number, name, sha256) VALUES (%s, %s, %s)",
                (step.number, step.name, step.sha256),
            )
        _note_kinds(link)
    return missing


def _missing(link: CentralLink) -> list[SchemaStep]:
    known = steps()
    done = link.ask("SELECT number, name, sha256 FROM shop.migration ORDER BY number")
    if len(done) > len(known):
        raise CentralFault(
            f"The central store {link.place.told} is of a newer version of the program (step {done[-1][0]}; this one "
            f"knows {known[-1].number}); update the program here."
        )
    for (number, name, sha256), step in zip(done, known, strict=False):
        if (number, sha256) != (step.number, step.sha256):
            raise CentralFault(
                f"The schema of the central store {link.place.told} is not ours: step {number} ({name}) is another one "
                f"than {step.name}. Use a database of its own."
            )
    return known[len(done) :]


def _roles(link: CentralLink) -> None:
    for role in (_OWNER, "shop_bay", "shop_office"):
        if link.one("SELECT 1 FROM pg_roles WHERE rolname = %s", (role,)) is None:
            link.ask(f"CREATE ROLE {role} NOLOGIN")
    link.ask("GRANT shop_owner TO CURRENT_USER")


def _note_kinds(link: CentralLink) -> None:
    for kind, version in sorted((kind, fact.VERSION) for kind, fact in fact_classes().items()):
        link.ask(
            "INSERT INTO shop.known_kind (kind, version, turns) VALUES (%s, %s, %s) ON CONFLICT (kind) DO UPDATE"
            " SET version = greatest(known_kind.version, excluded.version)",
            (kind, version, kind in TURNS),
        )
