"""Torques, angles and lengths as an author wrote them, with exact factors to the SI.

A value keeps the number and the unit it was given in. Comparing and converting go through exact fractions, so nothing
is lost between units; only ``to`` rounds, to 28 digits, when the result does not end.

A quantity can be compared with and added to its own kind only: a :class:`Torque` is never an energy, a length or an
:class:`Angle`, and Python says so with a TypeError (a fault of the code). What people write in files is parsed in
:mod:`assistant.fastening.units`, which answers with a value or with a fault that has a sentence, not with an exception.

Sources of the factors: NIST SP 811 (2008), appendix B: pound 0.453 592 37 kg, foot 0.3048 m, inch 0.0254 m, standard
gravity 9.806 65 m/s2, all exact (from memory; scipy.constants gives the same products).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Generic, Self, TypeVar, overload

_POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")
"""Newtons in one pound-force, exact."""


class TorqueUnit(StrEnum):
    """Units of torque; the value is the symbol that is printed."""

    NEWTON_METRE = "N·m"
    POUND_FOOT = "lbf·ft"
    POUND_INCH = "lbf·in"
    OUNCE_INCH = "ozf·in"
    KILOGRAM_FORCE_METRE = "kgf·m"
    KILOGRAM_FORCE_CENTIMETRE = "kgf·cm"

    @property
    def factor(self) -> Fraction:
        """Return the newton metres [N·m] in one of this unit, exact."""
        return _TORQUE_FACTORS[self]


_TORQUE_FACTORS = {
    TorqueUnit.NEWTON_METRE: Fraction(1),
    TorqueUnit.POUND_FOOT: _POUND_FORCE * Fraction("0.3048"),
    TorqueUnit.POUND_INCH: _POUND_FORCE * Fraction("0.0254"),
    TorqueUnit.OUNCE_INCH: _POUND_FORCE * Fraction("0.0254") / 16,
    TorqueUnit.KILOGRAM_FORCE_METRE: Fraction("9.80665"),
    TorqueUnit.KILOGRAM_FORCE_CENTIMETRE: Fraction("0.0980665"),
}


class AngleUnit(StrEnum):
    """Units of plane angle."""

    DEGREE = "°"
    TURN = "turn"

    @property
    def factor(self) -> Fraction:
        """Return the degrees [°] in one of this unit, exact."""
        return Fraction(360) if self is AngleUnit.TURN else Fraction(1)


class LengthUnit(StrEnum):
    """Units of length."""

    MILLIMETRE = "mm"
    INCH = "in"

    @property
    def factor(self) -> Fraction:
        """Return the millimetres [mm] in one of this unit, exact."""
        return Fraction("25.4") if self is LengthUnit.INCH else Fraction(1)


@lru_cache(maxsize=4096)
def _size(value: Decimal, unit: TorqueUnit | AngleUnit | LengthUnit) -> Fraction:
    """Return the exact size in the base unit. Remembered, because programmes compare the same few values very often."""
    return Fraction(value) * unit.factor


U = TypeVar("U", TorqueUnit, AngleUnit, LengthUnit)
Number = Decimal | int | Fraction


def as_decimal(value: Fraction) -> Decimal:
    """Return ``value`` [any unit] as a decimal: exact where it ends, else rounded to 28 digits.

    Formula: numerator / denominator.

    Source: ours.

    >>> as_decimal(Fraction(1, 8)), str(as_decimal(Fraction(1, 3)))[:8]
    (Decimal('0.125'), '0.333333')
    """
    return Decimal(value.numerator) / Decimal(value.denominator)


def plain(value: Decimal) -> str:
    """Write ``value`` [any unit] without exponent, with the digits it was given.

    Formula: the number itself.

    Source: ours.

    >>> plain(Decimal("4E+1")), plain(Decimal("35.50"))
    ('40', '35.50')
    """
    return format(value, "f")


def for_the_ear(value: Decimal, *, up: bool = False) -> Decimal:
    """Return ``value`` [any unit] as it is spoken: at most to a tenth, or to a hundredth below ten.

    Rounded down, or ``up`` [yes or no] for a lower limit, so that what is said is never beyond what is meant.

    Formula: floor or ceiling to the step.

    Source: ours; no finer than the scales of hand tools.

    >>> for_the_ear(Decimal("88.50745791327184")), for_the_ear(Decimal("6.638")), for_the_ear(Decimal(40))
    (Decimal('88.5'), Decimal('6.63'), Decimal('40'))
    """
    step = Decimal("0.1") if abs(value) >= 10 else Decimal("0.01")
    return value.quantize(step, ROUND_CEILING if up else ROUND_FLOOR).normalize() + 0


@dataclass(frozen=True, slots=True, eq=False)
class _Quantity(Generic[U]):
    """A decimal number with a unit of one kind. Equal, ordered and hashed by its exact size, whatever its unit."""

    value: Decimal
    unit: U

    def __post_init__(self) -> None:
        """Refuse floats, which are not exact, and what is not a number: both are faults of the calling code."""
        if isinstance(self.value, int) and not isinstance(self.value, bool):
            object.__setattr__(self, "value", Decimal(self.value))
        if not isinstance(self.value, Decimal):
            raise TypeError(f"{type(self).__name__} needs a Decimal, not {type(self.value).__name__}.")
        if not self.value.is_finite():
            raise ValueError(f"{type(self).__name__} needs a finite number, not {self.value}.")

    @property
    def size(self) -> Fraction:
        """Return the exact size in the base unit of the kind (N·m, ° or mm)."""
        return _size(self.value, self.unit)

    def to(self, unit: U) -> Self:
        """Return the same quantity in ``unit`` [of its kind], rounded to 28 digits if it does not end.

        Convert first, round last.
        """
        if unit is self.unit:
            return self
        return type(self)(as_decimal(self.size / unit.factor), unit)

    def rounded(self, step: Decimal, *, down: bool = False) -> Self:
        """Return this to a whole multiple of ``step`` [the unit of this quantity].

        An exact half goes to the even multiple (NIST SP 811 B.7.1, from memory). With ``down`` [yes or no] the result
        is never larger than this: use it for limits.
        """
        if step <= 0:
            raise ValueError(f"A step must be more than zero, not {step}.")
        steps = (self.value / step).quantize(Decimal(1), ROUND_DOWN if down else ROUND_HALF_EVEN)
        return type(self)(steps * step, self.unit)

    def _same_kind(self, other: object) -> bool:
        return type(other) is type(self)

    def __eq__(self, other: object) -> bool:
        if not self._same_kind(other) or not isinstance(other, _Quantity):
            return NotImplemented
        return self is other or self.size == other.size

    def __lt__(self, other: Self) -> bool:
        return self.size < other.size if self._same_kind(other) else NotImplemented

    def __le__(self, other: Self) -> bool:
        return self.size <= other.size if self._same_kind(other) else NotImplemented

    def __gt__(self, other: Self) -> bool:
        return self.size > other.size if self._same_kind(other) else NotImplemented

    def __ge__(self, other: Self) -> bool:
        return self.size >= other.size if self._same_kind(other) else NotImplemented

    def __hash__(self) -> int:
        return hash((type(self), self.size))

    def __add__(self, other: Self) -> Self:
        if not self._same_kind(other):
            return NotImplemented
        return type(self)(self.value + other.to(self.unit).value, self.unit)

    def __sub__(self, other: Self) -> Self:
        if not self._same_kind(other):
            return NotImplemented
        return type(self)(self.value - other.to(self.unit).value, self.unit)

    def __mul__(self, factor: Number) -> Self:
        if isinstance(factor, bool) or not isinstance(factor, Decimal | int | Fraction):
            return NotImplemented
        if isinstance(factor, Fraction):
            return type(self)(as_decimal(Fraction(self.value) * factor), self.unit)
        return type(self)(self.value * factor, self.unit)

    __rmul__ = __mul__

    @overload
    def __truediv__(self, other: Self) -> Fraction: ...
    @overload
    def __truediv__(self, other: Number) -> Self: ...
    def __truediv__(self, other: Self | Number) -> Fraction | Self:
        if isinstance(other, _Quantity):
            return self.size / other.size if self._same_kind(other) else NotImplemented
        if isinstance(other, bool) or not isinstance(other, Decimal | int | Fraction):
            return NotImplemented
        return self * (1 / Fraction(other))

    def __str__(self) -> str:
        return f"{plain(self.value)} {self.unit.value}"


class Torque(_Quantity[TorqueUnit]):
    """A torque, for example ``Torque(Decimal("40"), TorqueUnit.NEWTON_METRE)``.

    >>> str(Torque(Decimal(40), TorqueUnit.NEWTON_METRE))
    '40 N·m'
    >>> Torque(Decimal(1), TorqueUnit.POUND_FOOT) == Torque(Decimal(12), TorqueUnit.POUND_INCH)
    True
    >>> str(Torque(Decimal(100), TorqueUnit.POUND_FOOT).to(TorqueUnit.NEWTON_METRE))
    '135.58179483314004 N·m'
    """

    __slots__ = ()

    @property
    def newton_metres(self) -> Fraction:
        """Return the exact torque [N·m]."""
        return self.size


class Angle(_Quantity[AngleUnit]):
    """A plane angle; in a programme always a further one, after what was turned before.

    >>> str(Angle(Decimal(90), AngleUnit.DEGREE)), str(Angle(Decimal("0.25"), AngleUnit.TURN))
    ('90°', '0.25 turn')
    """

    __slots__ = ()

    @property
    def degrees(self) -> Fraction:
        """Return the exact angle [°]."""
        return self.size

    def __str__(self) -> str:
        if self.unit is AngleUnit.DEGREE:
            return f"{plain(self.value)}°"
        return f"{plain(self.value)} turn{'s' if self.value > 1 else ''}"


class Length(_Quantity[LengthUnit]):
    """A length.

    >>> str(Length(Decimal(10), LengthUnit.INCH).to(LengthUnit.MILLIMETRE))
    '254 mm'
    """

    __slots__ = ()

    @property
    def millimetres(self) -> Fraction:
        """Return the exact length [mm]."""
        return self.size
