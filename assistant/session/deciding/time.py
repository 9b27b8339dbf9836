"""What the time brings by itself, in order: the ends of timers, of read-backs and notes, and what a step waits for."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.facts.asking import CancelledWhy
from assistant.facts.inputs import ClockSet
from assistant.facts.steps import TimerEnded, TimerWarned
from assistant.session import timing
from assistant.session.deciding import asking, customer, reminders, timers
from assistant.session.deciding.core import Deciding
from assistant.session.here import OWN_WORDS, Here
from assistant.session.part import part_of

CONFIRM_MS = 15_000
"""How long what was read back waits for "confirmed" once it was spoken."""
SECOND_MS = 60_000
"""How long it waits for the word of a second person, who looks at the work first."""
NOTE_MS = 60_000
"""How long a note waits for its next words."""


def next_ms(here: Here, quiet_ms: int) -> int | None:
    """Return when something happens by itself [ms]; since ``quiet_ms`` the voice is silent."""
    dues = (_next_ms(here, quiet_ms), customer.due_ms(here, quiet_ms))
    return min((due for due in dues if due is not None), default=None)


def _next_ms(here: Here, quiet_ms: int) -> int | None:
    """Return the same but for answers of the customer, which have a breath of their own."""
    dues = (*_waits(here, quiet_ms), *_timers(here), *reminders.ends_ms(here), _step(here))
    return min((due for due in dues if due is not None), default=None)


def _waits(here: Here, quiet_ms: int) -> Iterator[int]:
    """Yield when what waits for "confirmed", or for words, is dropped: a time behind the end of what was said of it."""
    if here.state.waiting is not None:
        own = here.state.waiting.question.WORD in OWN_WORDS
        yield max(here.state.waiting.since_ms, quiet_ms) + (SECOND_MS if own else CONFIRM_MS)
    if here.state.dictation is not None:
        yield max(here.state.dictation.since_ms, quiet_ms) + NOTE_MS
    for half_said in (here.state.granting, here.state.finding):
        if half_said is not None and here.state.waiting is None:
            yield max(half_said.since_ms, quiet_ms) + NOTE_MS


def _timers(here: Here) -> Iterator[int | None]:
    for timer in here.state.timers:
        yield timing.happens_ms(here, timer)


def _step(here: Here) -> int | None:
    step = here.step
    return part_of(step).due(here, step) if step is not None and here.unread is None else None


def expire(d: Deciding) -> bool:
    """Let everything happen whose time has come, in order; return whether anything did."""
    happened = False
    while (due := _next_ms(d, d.quiet_ms)) is not None and due <= d.now_ms and not d.state.closed:
        happened = True
        if d.step is not None and _step(d) == due:
            part_of(d.step).settle(d, d.step)
        for timer in sorted(d.state.timers):
            _timer(d, timer, due)
        reminders.end(d, due)
        if any(end <= due for end in _waits(d, d.quiet_ms)):
            asking.cancel(d, CancelledWhy.SILENCE)
    return happened


def _timer(d: Deciding, timer: str, due: int) -> None:
    """Put that a timer has ended by ``due``, or nearly so."""
    state = d.state.timers[timer]
    if not timing.counts(state):
        return
    if state.ends_ms <= due:
        d.put(TimerEnded(timer=timer))
    elif not state.warned and timing.warn_ms(d, timer) <= due:
        left = (state.ends_ms - due) // 1000
        d.put(TimerWarned(timer=timer, seconds_left=left, quiet=state.ends_ms <= d.now_ms))


def doubt_the_clock(d: Deciding, _: ClockSet) -> None:
    """Take up that the computer's clock was set: running timers are doubted until somebody agrees."""
    timers.doubt(d)
