"""What the doctor tells of the workshop's central store: whether it is reached, what waits, and what it set aside."""

from __future__ import annotations

import contextlib

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault, CentralPlace
from assistant.journal.chain import Head
from assistant.journal.copies import CentralJobs, StoredJobs
from assistant.journal.opening import journal_is_there
from assistant.service.part import FAULT, GOOD, LOOK, Part
from assistant.settings import Settings, home
from assistant.terminal.exits import Exit
from assistant.workshop.line import central_place
from assistant.workshop.photos import PhotoCarrier

CENTRAL_PART = "central store"


def look_at_central(settings: Settings) -> Part:
    """Compare the journal of the bay with what the store has of it.

    A store that cannot be reached is no fault of the bay, which goes on without.

    Raises:
        JournalFault: the journal cannot be read.
    """
    try:
        place = central_place(settings)
    except CentralFault as fault:
        return Part(CENTRAL_PART, FAULT, fault.sentence, Exit.CENTRAL)
    if place is None:
        return Part(CENTRAL_PART, GOOD, "none is set; the bay stands alone")
    try:
        with contextlib.closing(CentralLink(place)) as link:
            return _compared(link, place)
    except CentralFault as fault:
        return Part(CENTRAL_PART, LOOK if fault.gone else FAULT, fault.sentence, Exit.CENTRAL)


def _compared(link: CentralLink, place: CentralPlace) -> Part:
    (aside,) = link.ask("SELECT count(*) FROM shop.aside WHERE sent_by = shop.my_bay()")[0]
    if aside:
        sentence = f"{aside} {'entry' if aside == 1 else 'entries'} of this bay were set aside"
        return Part(CENTRAL_PART, LOOK, f"{sentence}; the office sees why with: assistant workshop aside")
    if not journal_is_there(home()):
        return Part(CENTRAL_PART, GOOD, f"{place.told} has all of the journal and its photos")
    waiting, photos = _waiting(link)
    found = [f"{waiting} {'entry was' if waiting == 1 else 'entries were'} not sent yet"] if waiting else []
    found += [f"{photos} {'photo was' if photos == 1 else 'photos were'} not sent or fetched yet"] if photos else []
    if found:
        sentence = f"{' and '.join(found)}; a bay at work does so, and so does: assistant send"
        return Part(CENTRAL_PART, LOOK, sentence)
    return Part(CENTRAL_PART, GOOD, f"{place.told} has all of the journal and its photos")


def _waiting(link: CentralLink) -> tuple[int, int]:
    """Return how many entries and photos are missing in the store, or here."""
    with contextlib.closing(StoredJobs(home())) as stored:
        heads = stored.heads()
        ends = CentralJobs(link).ends(list(heads))
        photos = PhotoCarrier(home()).look(link, stored, heads)
    return sum(max(0, head.seq - ends.get(job, Head()).seq) for job, (_, head) in heads.items()), photos
