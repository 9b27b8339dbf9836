"""The camera of the bay: one picture of it, by PyAV. The device is open only while a photo is taken.

A camera that hangs hangs in the kernel, where no time limit reaches; so it is asked on a thread that can be left alone.
"""

from __future__ import annotations

import errno
import queue
from collections.abc import Callable
from itertools import islice
from pathlib import Path

from assistant.faults import Fault
from assistant.pictures.drawing import DrawnPhoto, draw_frame
from assistant.worker import OnFailure, Worker

ANSWER_S = 10.0
"""So long a camera may take to open and to show something [s]: cheap ones need three (common practice, no source)."""
TEST_PICTURE = "test"
"""In place of a device: a picture that FFmpeg draws, to try everything without a camera."""
_SETTLE_FRAMES = 15
"""Frames that are let pass while a camera finds its exposure: half a second (common practice, no source)."""
_DEVICES = "/dev/"


class Camera:
    """Takes photos with one device, one after the other."""

    def __init__(self, device: str, on_failure: OnFailure, *, answer_s: float = ANSWER_S) -> None:
        """Use ``device``: a v4l2 device, a file with pictures, or :data:`TEST_PICTURE`."""
        self.device = device
        self.answer_s = answer_s
        self._asks: queue.SimpleQueue[queue.SimpleQueue[DrawnPhoto | Fault] | None] = queue.SimpleQueue()
        self._worker = Worker("camera", self._work, on_failure=on_failure)
        self._worker.start()

    def take(self) -> DrawnPhoto | Fault:
        """Return a photo, or why there is none; it waits for the camera."""
        answer: queue.SimpleQueue[DrawnPhoto | Fault] = queue.SimpleQueue()
        self._asks.put(answer)
        try:
            return answer.get(timeout=self.answer_s)
        except queue.Empty:
            self._worker.replace()
            return self._fault(f"it showed nothing within {self.answer_s:g} seconds")

    def close(self) -> None:
        """Use it no more."""
        self._asks.put(None)
        self._worker.close(timeout_s=0.5)

    def _work(self, go_on: Callable[[], bool]) -> None:
        while go_on():
            answer = self._asks.get()
            if answer is None or not go_on():
                return
            found = self._frame()
            answer.put(found)

    def _frame(self) -> DrawnPhoto | Fault:
        """Return the picture that the camera shows once it has settled."""
        try:
            import av  # noqa: PLC0415 - heavy, and only who has a camera needs it
        except ImportError:
            return Fault(
                f"the camera {self.device} needs the package av", "install the assistant with its extra: phone"
            )
        name, form = self._source()
        try:
            with av.open(name, format=form, timeout=self.answer_s) as shown:
                frames = list(islice(shown.decode(video=0), _SETTLE_FRAMES))
                if not frames:
                    return self._fault("it shows nothing")
                drawn = frames[-1].reformat(format="rgb24")
                plane = drawn.planes[0]
                return draw_frame(bytes(plane), drawn.width, drawn.height, plane.line_size)
        except (OSError, ValueError, IndexError, av.FFmpegError) as fault:
            kept_out = camera_fault(self.device, getattr(fault, "errno", None) or 0)
            return kept_out or self._fault(getattr(fault, "strerror", "") or "it shows no pictures")

    def _source(self) -> tuple[str, str | None]:
        if self.device == TEST_PICTURE:
            return "testsrc2=size=1280x720:rate=30", "lavfi"
        return self.device, "v4l2" if str(Path(self.device)).startswith(_DEVICES) else None

    def _fault(self, why: str) -> Fault:
        return Fault(
            f"the camera {self.device} does not answer ({why})",
            "check its cable and the setting camera, or take the photo on the page",
        )


def camera_fault(device: str, error: int) -> Fault | None:
    """Return what ``error``, a number of errno(3), says of the camera ``device``; None where it says nothing of it."""
    or_page = "or take the photo on the page"
    match error:
        case errno.ENOENT | errno.ENODEV | errno.ENXIO:
            others = ", ".join(str(path) for path in sorted(Path(_DEVICES).glob("video*")))
            advice = f"put its cable in, or name another in the setting camera ({others or 'none is there'}), {or_page}"
            return Fault(f"the camera {device} is not there", advice)
        case errno.EBUSY:
            return Fault(f"the camera {device} is in use by another program", f"end that program, {or_page}")
        case errno.EACCES | errno.EPERM:
            return Fault(f"the camera {device} may not be opened by this user", f"{_let_in(device)}, {or_page}")
    return None


def _let_in(device: str) -> str:
    """Return how this user gets the right to ``device``."""
    try:
        group = Path(device).group()
    except (OSError, KeyError):
        return "see who owns it"
    return f"add the user to the group {group} (sudo usermod -aG {group} $USER, then log in again)"
