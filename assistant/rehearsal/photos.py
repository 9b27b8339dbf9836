"""Photos where a job is only rehearsed: the camera of the settings takes them, or else a drawing stands in."""

from __future__ import annotations

from collections.abc import Callable

from assistant.bay.inbox import Errand
from assistant.events import DropPhoto, TakePhoto
from assistant.facts.photos import PhotoSource
from assistant.faults import Fault
from assistant.language.chosen import LANGUAGE
from assistant.pictures.camera import Camera
from assistant.pictures.drawing import draw_photo, stand_in
from assistant.pictures.store import PhotoStore
from assistant.pictures.taking import Runs, photo_into


class TalkPhotos:
    """Takes photos on the clock of a talk, which waits for them."""

    def __init__(self, put: Callable[[Errand], None], camera: str) -> None:
        """Let the loop do things with ``put``; ``camera`` is the setting."""
        self._put, self._device = put, camera
        self._store: PhotoStore | None = None

    def begin(self, store: PhotoStore) -> None:
        """Put photos into ``store``."""
        self._store = store

    def do(self, effect: TakePhoto | DropPhoto) -> None:
        """Take a photo, or remove the file of one."""
        store = self._store
        if store is not None and isinstance(effect, DropPhoto):
            store.drop(effect.sha256)
        elif store is not None:
            self._put(lambda runner, now: self._take(store, runner, now))

    def _take(self, store: PhotoStore, runner: object, now: float) -> None:
        if not isinstance(runner, Runs):
            return
        if self._device:
            camera = Camera(self._device, lambda failure: runner.warn(f"The camera failed: {failure.error}.", now))
            found, source = camera.take(), PhotoSource.CAMERA
            camera.close()
        else:
            number = runner.session.state.photos.last + 1
            found, source = draw_photo(stand_in(number), "the drawing"), PhotoSource.FILE
        if isinstance(found, Fault):
            runner.announce(LANGUAGE.photos.camera_gone(), now)
            runner.warn(f"{found.sentence}.", now)
            return
        try:
            photo_into(runner, store, found, source, now)
        except OSError as fault:
            runner.announce(LANGUAGE.photos.photo_not_kept(), now)
            runner.warn(f"The photo could not be kept ({fault.strerror}).", now)
