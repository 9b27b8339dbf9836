"""Sends the journal of a bay to the central store, and says what came of it."""

from __future__ import annotations

import contextlib
import threading

from assistant.clock import SteadyClock
from assistant.settings import home, load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.streams import warn
from assistant.worker import Failure
from assistant.workshop.copies import forget_copies
from assistant.workshop.line import CentralLine, central_place
from assistant.workshop.photos import PhotoRound
from assistant.workshop.sending import Sender

STANDS_ALONE = "This bay stands alone: no central store is set (central, in the settings)."


def send_all(*, follow: bool) -> Exit:
    """Send what the store does not have; with ``follow``, until the program is stopped.

    Raises:
        CentralFault: the store cannot be reached, or refuses the login.
        JournalFault: there is no journal, or it cannot be read.
        Refusal: no store is set.
    """
    place = central_place(load_settings(settings_path()))
    if place is None:
        raise Refusal(STANDS_ALONE, Exit.USAGE)
    if follow:
        return _follow(CentralLine(home(), place, tell=warn, on_failure=_broke))
    clock = SteadyClock()
    with contextlib.closing(Sender(home(), place, warn)) as sender:
        came_to = sender.round(clock.now())
        photos = came_to.photos
        while photos.more:
            more = sender.round(clock.now())
            came_to.sent += more.sent
            came_to.waiting = more.waiting
            photos.add(more.photos)
        if sender.link is not None:
            forget_copies(sender.link, home())
    print(_told(came_to.sent, came_to.waiting, photos))
    return Exit.CENTRAL if came_to.waiting or photos.waiting else Exit.OK


def _told(sent: int, waiting: int, photos: PhotoRound) -> str:
    done = [f"{sent} {'entry was' if sent == 1 else 'entries were'} sent"] if sent else []
    done += [f"{_many(photos.sent)} sent"] if photos.sent else []
    done += [f"{_many(photos.fetched)} fetched"] if photos.fetched else []
    left = [f"{waiting} {'entry was' if waiting == 1 else 'entries were'} not taken"] if waiting else []
    left += [f"{_many(photos.waiting)} not sent or fetched yet"] if photos.waiting else []
    return f"{'; '.join([*(done or ['Nothing new was to be sent']), *left])}."


def _many(photos: int) -> str:
    return "1 photo was" if photos == 1 else f"{photos} photos were"


def _follow(line: CentralLine) -> Exit:
    line.start()
    try:
        threading.Event().wait()
    finally:
        line.close()
    return Exit.OK


def _broke(failure: Failure) -> None:
    warn(f"Sending failed ({failure.error} at {failure.at}), and is begun anew.")
