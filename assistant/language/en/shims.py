"""Shims: one valve at a time, one number to a sentence."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import groupby

from assistant.facts import Quantity
from assistant.facts.codes import PackWay, ShimWay
from assistant.language.en.numbers import digit_words, number_words, sounds_alike
from assistant.language.en.units import unit_words
from assistant.language.en.words import plural, sentence
from assistant.language.topics.shims import PackSaid
from assistant.language.topics.tables import Called

_MOST_SHORT, _MOST_FULL = 2, 4
"""Sizes to buy that are said without being asked for, and on request."""
_MOST_SIZES = 4
"""Sizes of a pack that are said in one breath."""


def _name(valve: Called) -> str:
    row = number_words(int(valve.row)) if valve.row.isdigit() else valve.row
    return f"{row} {valve.column}".strip()


def _size(value: Decimal) -> str:
    said = number_words(value.normalize() + 0)
    said = said.removeprefix("zero ") if said.startswith("zero point") else said
    return f"{said}: {digit_words(value.normalize() + 0)}" if sounds_alike(value) else said


def _buy(size: Decimal, count: int) -> str:
    """Say how many of a size to buy; two numbers beside each other are parted by a word."""
    return f"Buy one, {_size(size)}." if count == 1 else f"Buy {number_words(count)} of size {_size(size)}."


def shims_word(*, many: bool) -> str:
    return "shims" if many else "shim"


def worked_out(
    changed: int,
    buy: Sequence[Decimal],
    unreached: Sequence[Called],
    *,
    near: int,
    without: int,
    in_full: bool,
) -> list[str]:
    told = []
    if changed:
        told.append(sentence(f"{plural(changed, 'valve gets', 'valves get')} another shim"))
    elif not unreached and not without:
        told.append(all_stay())
    if unreached:
        which = _name(unreached[0]) if len(unreached) == 1 else f"{number_words(len(unreached))} valves"
        told.append(f"No shim reaches {which}.")
    sizes = [(size, len(list(same))) for size, same in groupby(buy)]
    most = _MOST_FULL if in_full else _MOST_SHORT
    told += [_buy(size, count) for size, count in sizes[:most]]
    if len(sizes) > most:
        told.append(
            f"And {plural(len(sizes) - most, 'more size', 'more sizes')}: {'look' if in_full else 'say which shims'}."
        )
    if near:
        told.append(f"{sentence(number_words(near))[:-1]} so near a limit that the gauge cannot tell.")
    if without:
        told.append(f"{sentence(plural(without, 'valve', 'valves'))[:-1]} not worked out: read again.")
    if (changed or unreached) and not in_full:
        told.append("Say which shim now.")
    return told


def all_stay() -> str:
    return "Every shim can stay."


def one(valve: Called, way: ShimWay, value: Decimal, source: Called | None) -> list[str]:
    name = _name(valve)
    if way is ShimWay.ENGINE and source is not None:
        return [sentence(f"{name} takes the shim from {_name(source)}"), sentence(_size(value))]
    if way is ShimWay.BOX:
        return [sentence(f"{name}, from the box"), sentence(_size(value))]
    if way is ShimWay.BUY:
        return [sentence(f"{name}, a new one"), f"Buy {_size(value)}."]
    if way is ShimWay.KEEP:
        return [sentence(f"{name} keeps its shim")]
    side = "above" if value > 0 else "below"
    return [f"No shim reaches {name}.", f"The nearest leaves it {_size(abs(value))} {side}."]


def expected(value: Decimal, *, near: bool) -> str:
    return f"Then about {_size(value)}{', so near a limit that the gauge cannot tell' if near else ''}."


def last() -> str:
    return "That was the last shim."


def not_worked_out() -> list[str]:
    return ["No shim is worked out yet.", "Read off clearances and shims first."]


def no_such(value: Decimal) -> list[str]:
    return [f"You read {_size(value)}.", "There is no such shim.", "Read again, or say confirmed."]


def was_proposed(value: Decimal) -> str:
    return sentence(f"{_size(value)} was proposed")


def pack_word() -> str:
    return "pack"


def _length(value: Quantity) -> str:
    return f"{_size(value.value)} {unit_words(value.unit, value.value)}"


def _moves(verb: str, sizes: Sequence[tuple[Quantity, int]]) -> list[str]:
    return [
        f"{verb} {_length(size)}." if count == 1 else f"{verb} {number_words(count)} of {_length(size)}."
        for size, count in sizes
    ]


def pack_proposed(pack: PackSaid, *, in_full: bool) -> list[str]:
    near = ["So near a limit that the gauge cannot tell."] if pack.near else []
    if pack.way is PackWay.NONE:
        return [f"No pack can put the {pack.name} right.", "Read it off again."]
    if pack.way is PackWay.NEAREST:
        side = "above" if pack.off.value > 0 else "below"
        off = Quantity(abs(pack.off.value), pack.off.unit)
        return [f"No pack of these shims reaches the {pack.name}.", f"The nearest leaves it {_length(off)} {side}."]
    if pack.way is PackWay.KEEP:
        return [f"The {pack.name} keeps its pack.", *near]
    moves = [*_moves("take out", pack.out), *_moves("put in", pack.new)]
    told = [f"Pack for the {pack.name}: {moves[0]}", *(f"{one[0].upper()}{one[1:]}" for one in moves[1:_MOST_SIZES])]
    if len(moves) > _MOST_SIZES:
        told.append(f"And {plural(len(moves) - _MOST_SIZES, 'more size', 'more sizes')}: look.")
    return [*told, *([_left(pack.expected)] if in_full else []), *near]


def _left(value: Quantity) -> str:
    preload = " of preload" if value.value < 0 else ""
    return f"Then about {_length(Quantity(abs(value.value), value.unit))}{preload}."


def counts_from_first(*, in_job: bool) -> str:
    return f"That counts from the {'pack before' if in_job else 'first pack'}."


def fitted_shim(name: str, size: Quantity, *, more: bool) -> str:
    if not size.value:
        return f"No shim is fitted with the {name}."
    return f"One more: {_length(size)}." if more else f"Fitted with the {name}: {_length(size)}."


def fitted_pack(total: Quantity, number: int, *, first: bool) -> list[str]:
    if not number:
        return ["No shim, then."]
    if first:
        return ["Say the next fitted shim, or the reading."]
    return [f"{sentence(_length(total))[:-1]} in all."]


def no_such_pack() -> list[str]:
    return ["No pack is that thick.", "Say it again."]


def no_pack_yet() -> list[str]:
    return ["No pack is worked out yet.", "Read off what it is for."]
