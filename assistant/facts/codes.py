"""Codes that stand in facts, and that the rooms above use as well."""

from __future__ import annotations

from enum import StrEnum


class SignalWord(StrEnum):
    """How bad it is, most severe first. Their sense depends on the scheme that the procedure names."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


class Direction(StrEnum):
    """Fasteners come out or go back in."""

    OUT = "out"
    IN = "in"


class Way(StrEnum):
    """What a stage does: tighten to a torque, turn by a further angle, loosen again, or check at a torque."""

    TORQUE = "torque"
    ANGLE = "angle"
    LOOSEN = "loosen"
    CHECK = "check"


class Side(StrEnum):
    """Where a reading lies; a limit itself is within."""

    WITHIN = "within"
    BELOW = "below"
    ABOVE = "above"


class TroubleWhat(StrEnum):
    """What happened to a bolt: it broke, it or its thread is stripped, it is lost, or it is not the right one."""

    BROKEN = "broken"
    STRIPPED = "stripped"
    LOST = "lost"
    WRONG = "wrong"


class FreedHow(StrEnum):
    """How a bolt came in again: a new or the right one, a lost one that was found, or the same one."""

    REPLACED = "replaced"
    FOUND = "found"
    AGAIN = "again"


class TakenWhen(StrEnum):
    """Whether a reading is of how something was found, or of how it was left."""

    FOUND = "found"
    LEFT = "left"


class ShimWay(StrEnum):
    """Where the shim of a valve comes from; NONE: no shim brings its clearance into the band."""

    KEEP = "keep"
    ENGINE = "engine"
    BOX = "box"
    BUY = "buy"
    NONE = "none"


class PackWay(StrEnum):
    """What is proposed for a pack: it stays, or another; NEAREST: none reaches the band; NONE: no pack can do it."""

    KEEP = "keep"
    CHANGE = "change"
    NEAREST = "nearest"
    NONE = "none"


class Why(StrEnum):
    """Why a tool does not suit a value, or what must be known before it is used."""

    NOTHING = "nothing"
    """No tool at all gives ``value``."""
    NO_WRENCH = "no_wrench"
    NO_ADAPTER = "no_adapter"
    NO_GAUGE = "no_gauge"
    NOT_IN_FILE = "not_in_file"
    LEVER = "lever"
    """The lever of the wrench is not known."""
    REACH = "reach"
    """The adapter reaches back past the hand."""
    RATIO = "ratio"
    """The torque ratio of the multiplier is not known, or is none."""
    RATING = "rating"
    """``value`` is over the rating of the multiplier, ``edge``."""
    BELOW_SCALE = "below_scale"
    """``value`` is below the lowest marking, ``edge``."""
    ABOVE_SCALE = "above_scale"
    """``value`` is above the end of the scale, ``edge``."""
    TOO_COARSE = "too_coarse"
    """The scale has no marking near ``value`` within the limits."""
    DRAG = "drag"
    """The drag of the thread is no drag."""
    DUE = "due"
    """The wrench is due for calibration, as ``due`` says."""
    LOWEST_FIFTH = "lowest_fifth"
    """``value`` is low on the scale."""
    ARM = "arm"
    """The arm of the multiplier pushes back with ``value``."""


class ReadAt(StrEnum):
    """What is read off at a bolt beside its target: the final torque after an angle, or the angle at a torque."""

    TORQUE = "torque"
    ANGLE = "angle"
