"""How fast photos reach a central store, and what they take there: ``python -m tests.bench --only central_photos``.

A real PostgreSQL with fsync on, on the loopback; a bay with the line that it runs, and photos of half a million bytes,
which are random, so that nothing makes them smaller. Then the bay gets a new computer, which fetches all of them.
"""

from __future__ import annotations

import os
import tempfile
import time
from contextlib import ExitStack, closing
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.migrating import migrate
from assistant.facts.going import Closed
from assistant.journal.opening import open_journal
from assistant.workshop.line import CentralLine
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.sending import Sender
from tests.bench.figures import Figure, Tell, spread, tell_failure
from tests.central.photos import taken
from tests.central.server import Server
from tests.jobs import ROOT, bare

PHOTOS, PHOTO_BYTES = 40, 500_000
"""So many, and so large: as they are kept of a sharp camera (docs/photos.md)."""
NOON = 1_790_000_000_000
_PATIENCE_S = 60.0
_SIZE = (
    "SELECT sum(pg_total_relation_size(oid)) FROM pg_class"
    " WHERE relnamespace = 'shop'::regnamespace AND relname ~ '^photo_alder_' AND relkind = 'r'"
)


def figures(tell: Tell) -> list[Figure]:
    """Measure it."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(dir=ROOT, prefix=".bench-")))
        tell("starting a server")
        server = Server(None, "fsync=on")
        stack.callback(server.remove)
        admin = stack.enter_context(closing(CentralLink(server.database("photos", "template0"))))
        migrate(admin)
        add_workshop(admin, "alder")
        place = server.place("photos", *add_member(admin, "alder", "bay1"))
        journal = stack.enter_context(open_journal(folder / "bay1", bay="bay1"))
        job = journal.create([bare("Practice")], NOON)
        line = CentralLine(folder / "bay1", place, tell=tell, on_failure=tell_failure)
        line.start()
        tell(f"{PHOTOS} photos, one after another")
        lags = []
        for number in range(1, PHOTOS + 1):
            name = taken(folder / "bay1", job, b"\xff\xd8" + os.urandom(PHOTO_BYTES - 2), NOON + number, number)
            lags.append(_until_there(admin, name))
        job.append([Closed()], NOON + PHOTOS + 1)
        job.close()
        line.close()
        size = float(admin.ask(_SIZE)[0][0])
        tell("a bay whose computer is new")
        new = folder / "new"
        with open_journal(new, bay="bay1"), closing(Sender(new, place, tell)) as sender:
            before, came = time.perf_counter(), sender.round(0.0).photos
            while came.more:
                came.add(sender.round(0.0).photos)
            took = time.perf_counter() - before
        assert came.fetched == PHOTOS, f"{came.fetched} of {PHOTOS} came"
    return [
        *spread("a photo: on disk in the bay -> in the store", [1000 * one for one in lags], "ms", None, None),
        Figure(f"a photo of {PHOTO_BYTES} bytes in the store", size / PHOTOS, "bytes"),
        Figure("a bay whose computer is new fetches its photos", PHOTOS / took, "photos/s"),
    ]


def _until_there(admin: CentralLink, name: str) -> float:
    """Return how long it took until the photo ``name`` was in the store [s]."""
    before = time.perf_counter()
    while admin.one("SELECT 1 FROM shop.photo WHERE sha256 = %s", (name,)) is None:
        assert time.perf_counter() - before < _PATIENCE_S, "the photo did not come"
        time.sleep(0.005)
    return time.perf_counter() - before
