"""Whether a phrase is good to wake a bay with: heard by the model, and like nothing else that is said there."""

from __future__ import annotations

from collections.abc import Collection

from assistant.idle.intents import OWN
from assistant.language.chosen import LANGUAGE, WRITTEN
from assistant.session.intents import INTENTS
from assistant.settings import Settings, SettingsFault
from assistant.voice.listening.model_files import model_folder, near_word, read_near_words, words_of

_WORDS = (2, 5)
"""So many words has a wake phrase: one word alone is in all talk, more are not said. Ours."""
_LEAST_LETTERS = 8
"""Shorter ones are too much like other talk. Ours."""


def check_wake(settings: Settings) -> None:
    """Make sure that the wake phrase of ``settings`` is a good one, for their model.

    Raises:
        SettingsFault: it is not; the sentence says why, and what to do.
        VoiceFault: the list of words near phrases cannot be read.
    """
    if not settings.wake:
        return
    folder = model_folder(settings.model)
    if fault := wake_fault(settings.wake, words_of(folder), read_near_words(folder)):
        raise SettingsFault(f'The wake phrase "{settings.wake}" {fault}')


def wake_fault(phrase: str, known: Collection[str], near: Collection[str] = ()) -> str:
    """Return what is wrong with ``phrase``, the rest of a sentence; "" when it is good.

    ``known`` are the words of the model (none: it does not list them), ``near`` those that it takes for phrases.
    """
    words = phrase.split()
    if LANGUAGE.phrases.name(phrase) != phrase:
        return "must be words in small letters with one space between them, such as: good morning workshop."
    least, most = _WORDS
    if not least <= len(words) <= most or sum(map(len, words)) < _LEAST_LETTERS:
        return f"is too short or too long to be told from talk: give {least} to {most} words that are rarely said."
    for word in words:
        if known and word not in known:
            other = near_word(word, tuple(known))
            return f'has the word "{word}", which the model cannot hear{f"; it knows {other}" if other else ""}.'
    if LANGUAGE.numbers.parse_number_words(phrase) is not None:
        return "is a number: give words that are rarely said."
    if set(words) <= set(near):
        return "is made of words that are easily taken for commands: give others."
    for intent in (*INTENTS, *OWN):
        for said in LANGUAGE.phrases.phrases(intent.name):
            bare = " ".join(said.replace("{}", " ").split())
            if bare and (f" {bare} " in f" {phrase} " and len(bare.split()) > 1):
                return f'has the command "{bare}" in it: give other words.'
            if bare and (f" {phrase} " in f" {bare} " or WRITTEN.wording.sound_alike(phrase, bare)):
                return f'sounds like the command "{bare}": give other words.'
    return ""
