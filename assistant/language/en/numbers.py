"""Numbers as words and words as numbers. The only module that knows num2words.

Speaking: :func:`number_words` and, where a mistake costs, :func:`digit_words`; :func:`sounds_alike` tells when.
Hearing: :func:`parse_number_words` turns spoken words into a number, or into None when they could mean two things.

For recognisers, what that parser accepts is also here as plain data: :func:`number_phrases` lists the phrases.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from functools import cache, lru_cache
from itertools import product

from assistant.events import SlotKind
from assistant.language.en import heard_alike
from assistant.language.values import NumberPhrases, Phrase

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
TENS: Mapping[str, int] = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
OH = "oh"
"""Said for zero inside a number; alone it is an exclamation and never a number."""
HUNDRED = "hundred"
FRACTIONS = ("tenths", "hundredths", "thousandths")
"""Said behind a whole number in place of a point: five hundredths of a millimetre."""
POINTS = ("point", "decimal")
"""Everyday English says point, radiotelephony says decimal (ICAO Annex 10, from memory)."""


@lru_cache(maxsize=4096)
def number_words(value: Decimal | int) -> str:
    """Write ``value`` [no unit] in words, without digits or commas. It is kept: the same few are said again and again.

    Source: the English words of num2words.

    >>> number_words(120), number_words(Decimal("35.50"))
    ('one hundred and twenty', 'thirty-five point five')
    """
    sign, whole, decimals = _split(value)
    words = _whole_words(int(whole))
    if decimals:
        words += " point " + " ".join(DIGITS[int(digit)] for digit in decimals)
    return sign + words


_ORDINALS = {1: "first", 2: "second", 3: "third", 5: "fifth", 8: "eighth", 9: "ninth", 12: "twelfth"}


def ordinal_words(number: int) -> str:
    """Say a whole ``number`` from 1 as a place in a row.

    >>> [ordinal_words(number) for number in (1, 4, 12, 20, 22)]
    ['first', 'fourth', 'twelfth', 'twentieth', 'twenty-second']
    """
    if number in _ORDINALS:
        return _ORDINALS[number]
    if number > 20 and number % 10:
        return f"{number_words(number - number % 10)}-{ordinal_words(number % 10)}"
    words = number_words(number)
    return f"{words[:-1]}ieth" if words.endswith("y") else f"{words}th"


def heard_words(value: Decimal | int) -> str:
    """Write ``value`` [no unit] as a recogniser writes what it heard.

    >>> heard_words(Decimal("35.5"))
    'thirty five point five'
    """
    return number_words(value).replace("-", " ")


@lru_cache(maxsize=4096)
def number_ways(value: Decimal) -> tuple[str, ...]:
    """Return every way in which a reading of ``value`` [no unit] is said by itself, the usual one first.

    With and without zero in front, digit by digit, with "oh" for a zero behind the point, and as a fraction.
    A zero at the end is none of them: "point two two" was heard as "point two zero" where it was (the own model,
    voices of flite), and that is another value within the same limits.

    Source: ours.

    >>> number_ways(Decimal("0.3"))
    ('zero point three', 'point three', 'three tenths')
    >>> number_ways(Decimal("0.05"))
    ('zero point zero five', 'point zero five', 'zero point oh five', 'point oh five', 'oh five', 'five hundredths')
    >>> number_ways(Decimal(12)), number_ways(Decimal("12.5"))
    (('twelve', 'one two'), ('twelve point five', 'one two point five'))
    """
    words = heard_words(value)
    sign, whole, decimals = _split(value)
    if sign:
        return (words,)
    ways = [words]
    if decimals and whole == "0":
        ways.append(words.removeprefix("zero "))
        if decimals.startswith("0"):
            ways += [way.replace("point zero", f"point {OH}") for way in ways]
        if len(decimals) == 2 and decimals[0] == "0":
            ways.append(f"{OH} {DIGITS[int(decimals[1])]}")
        if 1 < int(decimals) < 100:
            ways.append(f"{heard_words(int(decimals))} {FRACTIONS[len(decimals) - 1]}")
    ways.append(digit_words(value))
    return tuple(dict.fromkeys(ways))


def _whole_words(whole: int) -> str:
    """Write a whole number in words."""
    from num2words import num2words  # noqa: PLC0415 - it brings all its languages; who says no number does without

    return str(num2words(whole, lang="en")).replace(",", "")


def digit_words(value: Decimal | int) -> str:
    """Write ``value`` [no unit] digit by digit, the form for reading back.

    Source: digit by digit, as in radiotelephony (ICAO Doc 9432, from memory).

    >>> digit_words(120), digit_words(Decimal("12.5"))
    ('one two zero', 'one two point five')
    """
    sign, whole, decimals = _split(value)
    words = " ".join(DIGITS[int(digit)] for digit in whole)
    if decimals:
        words += " point " + " ".join(DIGITS[int(digit)] for digit in decimals)
    return sign + words


def _split(value: Decimal | int) -> tuple[str, str, str]:
    """Split into the word for the sign, the whole digits and the decimals without trailing zeros."""
    number = Decimal(value)
    if not number.is_finite():
        raise ValueError(f"{value} cannot be said.")
    whole, _, decimals = format(abs(number), "f").partition(".")
    return ("minus " if number < 0 else ""), whole.lstrip("0") or "0", decimals.rstrip("0")


def sounds_alike(value: Decimal | int) -> bool:
    """Return whether ``value`` [no unit] has a group that ends in 13 to 19 or 30, 40 ... 90: easily misheard.

    The pairs are thirteen and thirty up to nineteen and ninety (radiotelephony practice, ICAO Doc 9432, from memory).

    Source: radiotelephony practice, ICAO Doc 9432 (from memory).

    >>> sounds_alike(30), sounds_alike(113), sounds_alike(Decimal("12.5")), sounds_alike(35)
    (True, True, False, False)
    """
    whole = int(abs(Decimal(value)))
    while whole:
        ending = whole % 100
        if 13 <= ending <= 19 or (ending >= 30 and ending % 10 == 0):
            return True
        whole //= 1000
    return False


@cache
def _cardinals() -> dict[Phrase, int]:
    """Return every way to say 0 to 999 as a cardinal number, with and without "and"."""
    small: dict[Phrase, int] = {(word,): value for value, word in enumerate((*DIGITS, *TEENS))}
    for tens, value in TENS.items():
        small[(tens,)] = value
        small.update({(tens, DIGITS[unit]): value + unit for unit in range(1, 10)})
    words = dict(small)
    for hundreds, first in [(digit, DIGITS[digit]) for digit in range(1, 10)] + [(1, "a")]:
        words[(first, HUNDRED)] = hundreds * 100
        for phrase, value in small.items():
            if value:
                words[(first, HUNDRED, *phrase)] = hundreds * 100 + value
                words[(first, HUNDRED, "and", *phrase)] = hundreds * 100 + value
    return words


@cache
def _spelled() -> dict[Phrase, int]:
    """Return 10 to 999 said digit by digit; the first digit is never zero, so a lost first digit cannot hide."""
    digits = {word: value for value, word in enumerate(DIGITS)} | {OH: 0}
    spelled: dict[Phrase, int] = {}
    for length in (2, 3):
        for phrase in product(DIGITS[1:], *[digits] * (length - 1)):
            spelled[phrase] = int("".join(str(digits[word]) for word in phrase))
    return spelled


WHOLE_PHRASES: Mapping[Phrase, int] = {
    phrase: value for phrase, value in (_cardinals() | _spelled()).items() if value < 100
}
"""Every way to say a whole number from 0 to 99, as words, with its value."""


@cache
def number_phrases(kind: SlotKind) -> NumberPhrases:
    """Return all phrases for ``kind`` [whole, decimal or fine]; its parts are listed apart, since any may follow any.

    Two digits behind the point hold every pair of digits, and so all that an engine must know of three.

    >>> ("one", "six") in number_phrases(SlotKind.WHOLE).wholes
    True
    >>> number_phrases(SlotKind.DECIMAL).points
    ('point', 'decimal')
    """
    if kind is SlotKind.WHOLE:
        return NumberPhrases(tuple(WHOLE_PHRASES))
    digits = (*DIGITS, OH)
    decimals = tuple(p for length in range(1, SlotKind.DECIMAL.decimals + 1) for p in product(digits, repeat=length))
    return NumberPhrases(tuple(_cardinals() | _spelled()), POINTS, decimals)


def number_vocabulary(kind: SlotKind) -> tuple[str, ...]:
    """Return every word that a number of ``kind`` [whole, decimal or fine] may hold, in rising order.

    Source: ours.

    >>> "seventeen" in number_vocabulary(SlotKind.WHOLE), "point" in number_vocabulary(SlotKind.WHOLE)
    (True, False)
    """
    phrases = number_phrases(kind)
    every = {word for part in (phrases.wholes, phrases.decimals) for phrase in part for word in phrase}
    return tuple(sorted(every | set(phrases.points)))


def may_have_been(text: str) -> tuple[str, ...]:
    """Return what ``text`` [as a recogniser writes it] may have been: with one number word in place of its like.

    Source: people who count (:mod:`assistant.language.en.heard_alike`), and radiotelephony practice.

    >>> may_have_been("count thirteen")
    ('count thirty',)
    """
    return heard_alike.texts_like(text)


def parse_number_words(text: str) -> Decimal | None:
    """Read ``text`` [spoken words] as a number from 0 to 999.999; None when it is no number or could be two.

    Fractions ("five hundredths") are read up to ninety-nine of them.
    Cardinals ("one hundred and twenty", "twelve") and single digits ("one two", "three five point five") are read;
    mixtures such as "twenty one two" or "one twenty" are not, because a pause may have been lost between two numbers.

    Source: ours; what num2words says is read back.

    >>> parse_number_words("thirty-five point five"), parse_number_words("one two"), parse_number_words("one twenty")
    (Decimal('35.5'), Decimal('12'), None)
    """
    words = text.lower().replace("-", " ").split()
    if len(words) > 1 and words[-1] in FRACTIONS:
        many = _whole(tuple(words[:-1]), alone=True)
        return None if many is None or many > 99 else Decimal(many).scaleb(-1 - FRACTIONS.index(words[-1]))
    places = [place for place, word in enumerate(words) if word in POINTS]
    if len(places) > 1 or not words:
        return None
    end = places[0] if places else len(words)
    whole = _whole(tuple(words[:end]), alone=not places)
    if whole is None:
        return None
    if not places:
        return Decimal(whole)
    decimals = words[end + 1 :]
    if not 1 <= len(decimals) <= SlotKind.FINE.decimals or any(word not in DIGITS and word != OH for word in decimals):
        return None
    return Decimal(f"{whole}.{''.join('0' if word == 'oh' else str(DIGITS.index(word)) for word in decimals)}")


def _whole(phrase: Phrase, *, alone: bool) -> int | None:
    """Read the part before the point; nothing at all is zero when a point follows."""
    if not phrase:
        return None if alone else 0
    cardinal = _cardinals().get(phrase)
    return cardinal if cardinal is not None else _spelled().get(phrase)
