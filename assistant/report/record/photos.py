"""The photos of a job in its record: which step each belongs to, when it was taken, by whom, its hash, its words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from assistant.facts import photos
from assistant.facts.inputs import Opened
from assistant.facts.people import HandedOver, OperatorsNamed
from assistant.journal.port import Entry
from assistant.report.record.model import How, Open, PhotoLine
from assistant.report.record.printing import Names, prints, prints_asked
from assistant.session.evolving.table import fold

BESIDE_STEP = (photos.PhotoTaken, photos.PhotoDropped, photos.PhotoLeftOut)
"""What is printed with a step about its photos."""
SOURCES = {
    photos.PhotoSource.PAGE: "page",
    photos.PhotoSource.CAMERA: "camera",
    photos.PhotoSource.FILE: "stand-in",
}


def photo_lines(entries: Sequence[Entry], how: Mapping[int, How]) -> tuple[PhotoLine, ...]:
    """Return every photo that was taken, in order; one that was dropped says so."""
    dropped = {fact.number for entry in entries if isinstance(fact := entry.fact, photos.PhotoDropped)}
    found, who = [], ""
    for entry in entries:
        match entry.fact:
            case Opened(operator=who) | HandedOver(taken_by=who):
                pass
            case OperatorsNamed(names=names):
                who = who or names.split(",")[0].strip()
            case photos.PhotoTaken() as fact:
                found.append(
                    PhotoLine(
                        fact.number, entry.seq, entry.at_ms, fact.step, fact.sha256, who or "name not given",
                        how[entry.seq], dropped=fact.number in dropped,
                    )
                )  # fmt: skip
    return tuple(found)


def photos_open(names: Names, entries: Sequence[Entry], called: Mapping[str, str]) -> Iterator[Open]:
    """Yield the steps that were done and have no photo, where the procedure demands one, with the reason given."""
    it = names.procedure
    wanted = [step for step in it.every_step if step.photo] if it is not None else []
    if not wanted:
        return
    state = fold(entry.fact for entry in entries)
    reasons = {fact.step: fact.reason for entry in entries if isinstance(fact := entry.fact, photos.PhotoLeftOut)}
    for step in wanted:
        if step.id in state.done and not state.photos.of(step.id):
            reason = reasons.get(step.id, "") if step.id in state.photos.left_out else ""
            yield Open(f"{called.get(step.id, step.id)}, {step.text.rstrip('.?')}: NO PHOTO", step.id, reason)


@prints(photos.PhotoAsked)
def _asked(_fact: photos.PhotoAsked, _: Names) -> str:
    return "a photo was asked for"


@prints(photos.PhotoCame)
def _came(fact: photos.PhotoCame, _: Names) -> str:
    return (
        f"a photo came ({SOURCES[fact.source]}): {fact.width} by {fact.height} points, {fact.size} bytes, "
        f"SHA-256 {fact.sha256}"
    )


@prints(photos.PhotoTaken)
def _taken(fact: photos.PhotoTaken, _: Names) -> str:
    return f"photo {fact.number} taken"


@prints(photos.PhotoFirst)
def _first(_fact: photos.PhotoFirst, _: Names) -> str:
    return "done but for its photo"


@prints(photos.PhotoDropped)
def _dropped(fact: photos.PhotoDropped, _: Names) -> str:
    return f"photo {fact.number} removed"


@prints(photos.PhotoLeftOut)
def _left_out(fact: photos.PhotoLeftOut, _: Names) -> str:
    return f"NO PHOTO: {fact.reason}"


@prints(photos.PhotoWanted)
def _wanted(_fact: photos.PhotoWanted, _: Names) -> str:
    return "its photo is wanted again"


@prints(photos.LeftWithoutPhoto)
def _left(fact: photos.LeftWithoutPhoto, _: Names) -> str:
    return f"closed without a photo of: {', '.join(fact.steps)}"


@prints(photos.PhotoFailed)
def _failed(fact: photos.PhotoFailed, _: Names) -> str:
    return _FAILED[fact.why]


_FAILED = {
    photos.PhotoFault.CAMERA: "no photo: the camera did not answer",
    photos.PhotoFault.DISK: "no photo: it could not be kept",
}


@prints_asked(photos.AskNoPhoto)
def _ask_no_photo(q: photos.AskNoPhoto, _: Names) -> str:
    return f"go on without a photo of {q.step}"


@prints_asked(photos.AskDropPhoto)
def _ask_drop(q: photos.AskDropPhoto, _: Names) -> str:
    return f"remove photo {q.number}"
