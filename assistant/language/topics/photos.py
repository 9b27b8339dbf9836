"""What is said of photos: taken, demanded, dropped, and why there is none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from assistant.language.values import StepAt


class Photos(Protocol):
    """Photos have numbers in the job, from one; a ``step`` of None is no step."""

    def photo_called(self, number: int) -> str:
        """Name a photo, inside a sentence."""

    def photo_taken(self, number: int, step: StepAt | None) -> str:
        """Say that a photo was taken, and at which step."""

    def photo_demanded(self) -> str:
        """Say, as a step is read out, that it needs a photo."""

    def photo_wanted(self, step: StepAt) -> str:
        """Say that a step goes on with its photo, and how one is taken."""

    def photo_shows_before(self, numbers: Sequence[int]) -> str:
        """Say which photos show how it was before it was taken off."""

    def without_photo(self, step: StepAt) -> str:
        """Say, behind a reason, that a step goes on without its photo."""

    def drop_photo(self, number: int, step: StepAt | None) -> str:
        """Ask whether a photo is removed."""

    def photo_dropped(self, number: int) -> str:
        """Say that a photo does not count any more."""

    def open_photo(self, step: StepAt) -> str:
        """Name a step that lacks its photo, inside a list of what is open."""

    def take_with_phone(self) -> str:
        """Say that the bay has no camera, and that the photo button on the page takes one."""

    def no_way_to_take(self) -> str:
        """Say that there is neither a camera nor a page with touch buttons, and what to do."""

    def camera_gone(self) -> str:
        """Say that the camera of the bay does not answer, and what to do."""

    def photo_not_kept(self) -> str:
        """Say that a photo could not be kept, and what to do."""

    def photos_full(self) -> str:
        """Say that the job has as many photos as it can hold."""
