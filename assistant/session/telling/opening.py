"""What is said when a job begins, when it is taken up again, and when nothing was understood."""

from __future__ import annotations

from assistant.events import Clarity, Source, ToneKind
from assistant.facts.asking_back import AnsweredBack, AskedBack
from assistant.facts.inputs import NotUnderstood, Opened, Resumed, UnclearWhy, Understood, UnsureOf
from assistant.facts.people import HandedOver
from assistant.language.sentence import Sentence
from assistant.session.asked_back import MOST_ASKED, YES_OR_NO, asked_back_words, in_a_row
from assistant.session.nearest import nearest
from assistant.session.part import part_of
from assistant.session.telling import detours, going, people, places, questions, second
from assistant.session.telling.core import Telling, tells
from assistant.session.understanding import is_phrase


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
    if asked := second.second_words(t, t.language):
        t.say(*places.whereabouts(t), *asked)
        return
    anew = t.step is not None and part_of(t.step).told_anew
    if not t.state.paused and t.unread is None and not anew:
        t.say(*detours.detour_words(t))
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


@tells(UnsureOf)
@tells(NotUnderstood)
def _not_understood(t: Telling, fact: NotUnderstood) -> None:
    """Ask whether one of two phrases was meant, or sound a tone; ask for it again, and help the third time in a row.

    While something waits for an answer, and for whoever pauses, it is a tone: talk must not keep a question open.
    """
    t.keeps_last = True
    if t.has(AskedBack):
        return
    number = in_a_row(t.state.misheard)
    near = _meant(t, fact) if number <= MOST_ASKED else ()
    if fact.why is UnclearWhy.TOO_LOUD and number <= MOST_ASKED + 1:
        t.fixed(Sentence.TOO_LOUD)
    elif near:
        t.say(t.language.questions.did_you_mean(near))
    elif not t.state.paused and number == 2:
        t.fixed(Sentence.SAY_AGAIN)
    elif not t.state.paused and number == 3:
        t.say(*questions.help_words(t))
    else:
        t.tone(ToneKind.NOT_UNDERSTOOD)
        if t.step is not None and t.phase == t.base and t.unread is None:
            t.say(*part_of(t.step).unclear(t, t.step))


@tells(AskedBack)
def _asked_back(t: Telling, fact: AskedBack) -> None:
    """Ask in a word or two whether it was meant. The job's own question is asked again: "yes" to "no?" means either."""
    t.say(asked_back_words(fact.intent, t.language))


@tells(AnsweredBack)
def _answered_back(t: Telling, fact: AnsweredBack) -> None:
    """Say that nothing came of it where that is all that was said."""
    given = t.facts[0]
    if not fact.is_meant and t.facts[-1] is fact and isinstance(given, Understood) and given.intent in YES_OR_NO:
        t.fixed(Sentence.NOT_MEANT)


def _meant(t: Telling, fact: NotUnderstood) -> tuple[str, ...]:
    """Return what may have been meant by speech that is like a command; what was typed is answered where it stands."""
    spoken = fact.source is Source.VOICE and (fact.clarity is not Clarity.UNCLEAR or " " in fact.text.strip())
    is_other = fact.why is not UnclearWhy.UNCLEAR and is_phrase(fact.text, t.language)
    if not spoken or t.phase != t.base or t.unread is not None or is_other:
        return ()
    return nearest(fact.text, t, t.language)
