"""A command that was expected and not heard surely: when it is asked back in a word or two, and what answers that.

What costs little is asked back once or twice in a row, and only where nothing else waits for an answer. Where the job
itself waits for yes or no, these answer the job: to "no?" a "yes" could mean either. Of what costs much only the two
critical words that a job waits for are asked back, and only a "yes" carries them out, or the word itself, surely heard.
In noise as loud as the voice none of them is believed alone, however surely it was heard.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, takewhile

from assistant.events import Weight
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.session import table
from assistant.session.here import Here
from assistant.session.intents import BY_NAME

YES_OR_NO = ("yes", "no")
ASKED_CRITICAL = ("confirmed", "finish")
"""The critical intents that are asked back; of others each word counts alone, and those of a second person are theirs
to say."""
ANSWERED_WITHIN_MS = 10_000
"""Whoever answers begins within this time [ms]; later it may be the answer to something else. Ours."""
MOST_ASKED = 2
"""So often in a row it is asked what was meant; then what can be said is told. Ours."""
_MISHEARD_MS = 20_000
"""Things that were not understood this soon one behind the other [ms] are a row of them."""


def waited_for(here: Here) -> tuple[str, ...]:
    """Return the intents for which the job waits at this moment, by the row of its state.

    After a question that is its answer. Asking to hear it again is as likely as an answer.
    """
    row = table.row_of(here.phase)
    asked = () if open_question(here) is None or YES_OR_NO[0] in row.acts else YES_OR_NO
    likely = (command.intent for command in row.likely(here))
    return tuple(dict.fromkeys((*asked, *row.leads_on(here), *likely, "repeat")))


def open_question(here: Here) -> str | None:
    """Return the intent that was asked back, as long as the job stands where it was; None when none was."""
    asked = here.state.asked_back
    if asked is None or asked.place != here.place.key:
        return None
    row = table.row_of(here.phase)
    may_be_open = asked.intent in row.acts if asked.intent in ASKED_CRITICAL else _is_free(here)
    return asked.intent if may_be_open else None


def may_be_asked(here: Here, intent: str) -> bool:
    """Return whether ``intent``, which is expected, may be asked back when it is not heard surely.

    A critical one may be where the state itself waits for it.
    """
    one, row = BY_NAME[intent], table.row_of(here.phase)
    if one.weight is Weight.CRITICAL:
        return intent in ASKED_CRITICAL and intent in row.acts and intent in row.leads_on(here)
    return one.slot is None and _is_free(here) and (intent in YES_OR_NO or YES_OR_NO[0] not in row.acts)


def asked_back_words(intent: str, language: Language) -> str:
    """Return the question whether ``intent`` was meant, in a word or two."""
    if intent == YES_OR_NO[1]:
        return language.talk.text(Sentence.YES_OR_NO)
    return language.questions.was_it(language.phrases.phrases(intent)[0])


def in_a_row(times: Sequence[int]) -> int:
    """Return how many of ``times`` [ms], from the newest back, come one soon behind the other."""
    gaps = (later - earlier <= _MISHEARD_MS for earlier, later in reversed(list(pairwise(times))))
    return 1 + sum(takewhile(bool, gaps))


def _is_free(here: Here) -> bool:
    """Return whether nothing else waits for an answer."""
    return here.phase == here.base and here.unread is None
