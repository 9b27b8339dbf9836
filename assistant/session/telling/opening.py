"""What is said when a job begins, when it is taken up again, and when nothing was understood."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, takewhile

from assistant.events import ToneKind
from assistant.facts.inputs import NotUnderstood, Opened, Resumed
from assistant.facts.people import HandedOver
from assistant.language.sentence import Sentence
from assistant.session.part import part_of
from assistant.session.telling import going, people, places, questions
from assistant.session.telling.core import Telling, tells

_MISHEARD_MS = 20_000
"""Within this time, misunderstandings in a row are counted together."""


@tells(Opened)
def _opened(t: Telling, fact: Opened) -> None:
    procedure = t.job.procedure
    t.say(*t.language.steps.hello(procedure.title, len(procedure.steps), invented=procedure.values == "invented"))
    t.say(t.language.steps.book_time(procedure.book_time))
    if procedure.due is not None:
        due = procedure.due
        t.say(*t.language.steps.due_again(due.distance, due.unit, due.hours, due.months))
    if fact.keep_audio:
        t.fixed(Sentence.AUDIO_KEPT)


@tells(Resumed)
def _resumed(t: Telling, _: Resumed) -> None:
    """Say in one breath where the job is, behind what has come about; whoever takes it over is told by that."""
    if not t.has(HandedOver):
        t.behind(_where)


def _where(t: Telling) -> None:
    if t.state.handing_over:
        t.say(*people.who_words(t))
        return
    anew = t.step is not None and part_of(t.step).told_anew
    if not t.state.paused and t.unread is None and not anew:
        going.announce(t)
        going.hint(t, t.state.visited)
        return
    t.say(*places.whereabouts(t))
    if t.state.paused:
        t.fixed(Sentence.PAUSED)
    elif t.unread is not None:  # whoever goes on may not have heard it
        t.say(going.hazard_words(t, t.place.hazards[t.unread]))
    else:
        t.say(*places.break_words(t))


def _in_a_row(times: Sequence[int]) -> int:
    """Return how many of ``times`` [ms], from the newest back, come one soon behind the other."""
    gaps = (later - earlier <= _MISHEARD_MS for earlier, later in reversed(list(pairwise(times))))
    return 1 + sum(takewhile(bool, gaps))


@tells(NotUnderstood)
def _not_understood(t: Telling, _: NotUnderstood) -> None:
    """Sound a tone; ask for it again the second time in a row, and help the third time."""
    t.keeps_last = True
    number = _in_a_row(t.state.misheard)
    if not t.state.paused and number == 2:
        t.fixed(Sentence.SAY_AGAIN)
    elif not t.state.paused and number == 3:
        t.say(*questions.help_words(t))
    else:
        t.tone(ToneKind.NOT_UNDERSTOOD)
