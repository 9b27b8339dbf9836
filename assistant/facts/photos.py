"""Photos of a job: one was asked for, came, counts or not. The files lie beside the journal, which has their hashes.

A photo is written to disk before its fact is: no entry tells of a file that was never there.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from assistant.facts.asking import Ask
from assistant.facts.base import PERSONAL, Fact
from assistant.facts.bay import BayFact
from assistant.facts.inputs import Input


class PhotoSource(StrEnum):
    """What took it: a phone or tablet on the page, the camera of the bay, or a file in the place of one."""

    PAGE = "page"
    CAMERA = "camera"
    FILE = "file"


class PhotoFault(StrEnum):
    """Why there is no photo: the camera did not answer, or the file could not be kept."""

    CAMERA = "camera"
    DISK = "disk"


class AskNoPhoto(Ask, frozen=True):
    """Leave a photo out that a step demands."""

    step: str


class AskDropPhoto(Ask, frozen=True):
    """Drop a photo: it does not count any more, and its file goes."""

    number: int


class PhotoAsked(Fact, frozen=True, kw_only=True):
    """A photo was asked for at ``step`` (id, "" where the job is at none)."""

    KIND = "photo_asked"
    step: str


class PhotoCame(Input, frozen=True, kw_only=True):
    """A photo lies in its file since ``came_ms``, with its ``size`` [bytes], ``width`` and ``height`` [points]."""

    KIND = "photo_came"
    sha256: str
    size: int
    width: int
    height: int
    source: PhotoSource
    came_ms: int


class PhotoTaken(Fact, frozen=True, kw_only=True):
    """The photo belongs to ``step`` (id, "" where the job is at none), and has its ``number`` from one in the job."""

    KIND = "photo_taken"
    number: int
    step: str
    sha256: str
    came_ms: int


class PhotoFirst(Fact, frozen=True, kw_only=True):
    """A step is done but for the photo that it demands; the work goes on with it."""

    KIND = "photo_first"
    step: str


class PhotoDropped(Fact, frozen=True, kw_only=True):
    """A photo does not count any more, and its file is removed."""

    KIND = "photo_dropped"
    number: int


class PhotoLeftOut(Fact, frozen=True, kw_only=True):
    """A step goes on without the photo that it demands, for a reason."""

    KIND = "photo_left_out"
    step: str
    reason: Annotated[str, PERSONAL]


class PhotoWanted(Fact, frozen=True, kw_only=True):
    """A photo that ``step`` demands is wanted again: it is not left out any more."""

    KIND = "photo_wanted"
    step: str


class LeftWithoutPhoto(Fact, frozen=True, kw_only=True):
    """The job is closed, and these steps were done without the photo that they demand, and without a reason."""

    KIND = "left_without_photo"
    steps: tuple[str, ...]


class PhotoFailed(BayFact, frozen=True, kw_only=True):
    """A photo was wanted and there is none."""

    KIND = "photo_failed"
    why: PhotoFault
