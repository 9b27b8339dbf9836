"""How a page sends a photo, as plain values; where it goes is the bay's to know."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from assistant.display.hung import Hung

PHOTO = "/photo"
"""Where a page sends a photo to."""
MOST_SENT_BYTES = 15_000_000
"""A photo as a phone's camera saves it; a page sends a smaller one where it can."""


@dataclass(frozen=True, slots=True)
class PhotoAnswer:
    """What became of a photo that a page sent: the status of HTTP, and a sentence where it was not taken."""

    status: int
    sentence: str


class TakesPhotos(Protocol):
    """Takes and shows the photos of the job that is worked on; each is called on a thread of its own."""

    page: Callable[[], None] | None
    """Asks the pages for a photo; None where none can take one."""

    def take(self, data: bytes) -> PhotoAnswer:
        """Take the bytes of a picture; returns when the journal has it, or when it cannot be taken."""

    def hung(self, name: str) -> Hung | None:
        """Return the photo with the hash ``name``; None when there is none."""
