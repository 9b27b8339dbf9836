"""The ways of a photo into a job: from a page, or from the camera of the bay. The file comes first, then the fact.

What opens and draws a picture runs on a thread of its own; the loop of the job gets a photo that lies on the disk.
"""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, Protocol, runtime_checkable

from assistant.display.hung import Hung
from assistant.display.photos import PhotoAnswer
from assistant.events import DropPhoto, TakePhoto
from assistant.facts import Fact
from assistant.facts.photos import PhotoCame, PhotoFailed, PhotoFault, PhotoSource
from assistant.faults import Fault
from assistant.language.chosen import LANGUAGE
from assistant.pictures.camera import Camera
from assistant.pictures.drawing import DrawnPhoto, draw_photo
from assistant.pictures.store import PhotoStore
from assistant.session.photos import MOST_OF_A_JOB
from assistant.session.session import Reply, Session
from assistant.worker import OnFailure, Worker

_PAGE_S = 2.5
"""A page with its camera on has sent a photo after so long [s]; after that somebody is asked to press. Ours."""
_LOOP_S = 8.0
"""How long the loop of a job may take to take a photo [s]."""
_NO_JOB = PhotoAnswer(409, "No job is open: start one, then take it again.")


@runtime_checkable
class Runs(Protocol):
    """What a photo needs of whoever the loop works for, which between jobs is none that has it."""

    @property
    def session(self) -> Session:
        """The session as it is now."""

    def carry_out(self, reply: Reply, now: float) -> bool:
        """Keep the facts of ``reply``, then carry out its effects; return whether they are kept."""

    def record(self, fact: Fact, now: float) -> None:
        """Put something that happened around the job into the journal."""

    def announce(self, text: str, now: float, *, trouble: bool = True) -> None:
        """Say something that is about the equipment."""

    def warn(self, text: str, now: float) -> None:
        """Show a sentence about the equipment."""


Put = Callable[[Callable[[Any, float], None]], None]
"""Lets the loop of a job do something."""


class PhotoPost:
    """Takes photos for the job that is worked on: :meth:`take` on a thread of the page, :meth:`do` on the loop's."""

    def __init__(self, put: Put, camera: str = "", on_failure: OnFailure = lambda _failure: None) -> None:
        """Let the loop do things with ``put``; ``camera`` is the setting, and without one the pages are asked."""
        self._put = put
        self.page: Callable[[], None] | None = None
        self._store: PhotoStore | None = None
        self._camera = Camera(camera, on_failure) if camera else None
        self._asks: queue.SimpleQueue[bool] = queue.SimpleQueue()
        self._sent = threading.Event()
        """Whether a page has sent a photo since one was asked for."""
        self._worker = Worker("photos", self._work, on_failure=on_failure)
        self._works = False

    @contextmanager
    def of(self, store: PhotoStore, session: Session) -> Iterator[None]:
        """Put photos into ``store``, that of a job, for a while; files that no entry of it tells of are removed."""
        store.sweep({one.sha256 for one in session.state.photos.taken})
        self._store = store
        try:
            yield
        finally:
            self._store = None

    def __enter__(self) -> PhotoPost:
        return self

    def __exit__(self, *_fault: object) -> None:
        self._sent.set()
        self._asks.put(False)
        if self._camera is not None:
            self._camera.close()
        self._worker.close()

    # For the loop

    def do(self, effect: TakePhoto | DropPhoto) -> None:
        """Take a photo, or remove the file of one that does not count any more; it never waits."""
        store = self._store
        if isinstance(effect, DropPhoto):
            if store is not None:
                store.drop(effect.sha256)
        elif self._camera is not None:
            self._ask()
        elif self.page is not None:
            self._sent.clear()
            self.page()
            self._ask()
        else:
            self._put(lambda runner, now: runner.announce(LANGUAGE.photos.no_way_to_take(), now))

    def _ask(self) -> None:
        if not self._works:
            self._works = True
            self._worker.start()
        self._asks.put(True)

    # For the page

    def take(self, data: bytes) -> PhotoAnswer:
        """Take the bytes of a picture that a page sent; it waits until the journal has it, or says why it has not."""
        self._sent.set()
        drawn = draw_photo(data, "the photo")
        if isinstance(drawn, Fault):
            return PhotoAnswer(415, f"{drawn.reason.capitalize()}: take it again.")
        return self._keep(drawn, PhotoSource.PAGE)

    def hung(self, name: str) -> Hung | None:
        """Return the photo of the job with the hash ``name``; None when there is none."""
        store = self._store
        return None if store is None else store.hung(name)

    # Inside

    def _work(self, go_on: Callable[[], bool]) -> None:
        """Take a photo with the camera whenever one is asked for, or see whether a page takes it."""
        while go_on() and self._asks.get():
            if self._camera is None:
                if not self._sent.wait(_PAGE_S):
                    self._put(_ask_somebody)
                continue
            found = self._camera.take()
            if isinstance(found, Fault):
                self._failed(PhotoFault.CAMERA, LANGUAGE.photos.camera_gone(), found.sentence)
            else:
                self._keep(found, PhotoSource.CAMERA)

    def _keep(self, drawn: DrawnPhoto, source: PhotoSource) -> PhotoAnswer:
        store = self._store
        if store is None:
            return _NO_JOB
        try:
            store.put(drawn.data)
        except OSError as fault:
            return self._no_room(fault)
        done: queue.SimpleQueue[PhotoAnswer] = queue.SimpleQueue()

        def take(runner: object, now: float) -> None:
            answer = _NO_JOB
            try:
                if isinstance(runner, Runs) and self._store is store:
                    answer = photo_into(runner, store, drawn, source, now)
            except OSError as fault:
                answer = self._no_room(fault)
            finally:
                done.put(answer)

        self._put(take)
        try:
            return done.get(timeout=_LOOP_S)
        except queue.Empty:
            return PhotoAnswer(503, "The assistant is busy: the page shows whether the photo was taken.")

    def _no_room(self, fault: OSError) -> PhotoAnswer:
        said = LANGUAGE.photos.photo_not_kept()
        why = f"The photo could not be kept ({fault.strerror}): make room on the disk, then take it again."
        self._failed(PhotoFault.DISK, said, why)
        return PhotoAnswer(507, said)

    def _failed(self, why: PhotoFault, said: str = "", shown: str = "") -> None:
        def tell(runner: Runs, now: float) -> None:
            runner.record(PhotoFailed(why=why), now)
            if said:
                runner.announce(said, now)
            if shown:
                runner.warn(f"{shown[:1].upper()}{shown[1:]}{'' if shown.endswith('.') else '.'}", now)

        self._put(tell)


def _ask_somebody(runner: Runs, now: float) -> None:
    runner.announce(LANGUAGE.photos.take_with_phone(), now, trouble=False)


def photo_into(runner: Runs, store: PhotoStore, drawn: DrawnPhoto, source: PhotoSource, now: float) -> PhotoAnswer:
    """Let the job have the photo that ``store`` holds, on the thread of its loop; what it does not take is removed."""
    session = runner.session
    if len(session.state.photos.taken) >= MOST_OF_A_JOB:
        runner.announce(LANGUAGE.photos.photos_full(), now)
        return PhotoAnswer(409, LANGUAGE.photos.photos_full())
    name = store.put(drawn.data)  # it may have been removed meanwhile, with another one that was the same
    came = PhotoCame(
        sha256=name, size=len(drawn.data), width=drawn.width, height=drawn.height, source=source,
        came_ms=round(now * 1000),
    )  # fmt: skip
    step = session.standing(now).step
    same = [one for one in session.state.photos.taken if one.sha256 == name]
    for one in same:
        if one.step == (step.id if step is not None else ""):  # pressed twice, or a camera that shows a still
            runner.announce(LANGUAGE.photos.photo_taken(one.number, None), now, trouble=False)
            return PhotoAnswer(200, "")
    reply = session.photo(came, now)
    if reply.facts and runner.carry_out(reply, now):
        return PhotoAnswer(200, "")
    if not same:
        store.drop(name)
    if reply.facts:
        return PhotoAnswer(507, LANGUAGE.photos.photo_not_kept())
    return PhotoAnswer(409, "This job has ended.")
