"""Photos: asked for, come, demanded by a step, and dropped again. Nobody here has seen one; the bay keeps the files."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.going import RefusedWhy
from assistant.facts.photos import (
    AskDropPhoto,
    AskNoPhoto,
    PhotoAsked,
    PhotoCame,
    PhotoDropped,
    PhotoFirst,
    PhotoLeftOut,
    PhotoTaken,
)
from assistant.procedure.model import Step
from assistant.session import photos
from assistant.session.deciding import asking, second
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.deciding.moving import advance


def ask_photo(d: Deciding, _: Command) -> None:
    """Let the bay take a photo."""
    if len(d.state.photos.taken) >= photos.MOST_OF_A_JOB:
        d.refuse(RefusedWhy.PHOTOS_FULL)
    else:
        d.put(PhotoAsked(step=_step(d)))


def take_photo(d: Deciding, came: PhotoCame) -> None:
    """Let a photo belong to the present step; a step that waited for it alone goes on."""
    waited = _waits(d)
    d.put(
        PhotoTaken(
            number=d.state.photos.last + 1, step=_step(d), sha256=came.sha256, came_ms=came.came_ms
        )
    )  # fmt: skip
    if waited:
        _go_on(d)


def asks_photo(d: Deciding, step: Step) -> bool:
    """Put down that ``step``, which is done, goes on with its photo, if it demands one; return whether it does."""
    if not photos.lacks(d, step):
        return False
    d.put(PhotoFirst(step=step.id))
    return True


def next_without(d: Deciding) -> bool:
    """Refuse "next" where the present step lacks its photo; return whether it does."""
    if not photos.lacks(d, d.step):
        return False
    d.refuse(RefusedWhy.PHOTO_FIRST)
    return True


def no_photo(d: Deciding, _: Command) -> None:
    """Ask why the photo is left out that the present step demands."""
    if d.step is None or not photos.lacks(d, d.step):
        d.refuse(RefusedWhy.NO_PHOTO_WANTED)
    else:
        asking.demand_reason(d, AskNoPhoto(step=d.step.id))


def drop_last_photo(d: Deciding, _: Command) -> None:
    """Ask whether the newest photo is dropped."""
    taken = d.state.photos.taken
    if taken:
        asking.ask(d, AskDropPhoto(number=taken[-1].number))
    else:
        d.refuse(RefusedWhy.NO_PHOTO)


def _waits(d: Deciding) -> bool:
    """Return whether the present step is done but for its photo, and nothing else is asked."""
    return d.step is not None and d.step.id in d.state.done and d.phase == d.base and photos.lacks(d, d.step)


def _go_on(d: Deciding) -> None:
    if d.step is not None and not second.asks_witness(d, d.step):
        advance(d)


def _step(d: Deciding) -> str:
    return "" if d.step is None else d.step.id


def _left_out(d: Deciding, question: AskNoPhoto, reason: str) -> None:
    """Let the step go on without; where it waited for that alone, it does."""
    waited = _waits(d) and question.step == _step(d)
    d.put(PhotoLeftOut(step=question.step, reason=reason))
    if waited:
        _go_on(d)


def _dropped(d: Deciding, question: AskDropPhoto, _reason: str) -> None:
    d.put(PhotoDropped(number=question.number))


add_grant(AskNoPhoto, _left_out, passes=False)
add_grant(AskDropPhoto, _dropped, passes=False)
