"""Torque multipliers: what to set on the wrench at their input, what their arm pushes with, and how angles change.

The reaction arm must bear on a solid stop before any load comes on it, with hands kept out; on release the handle can
spring back (railway competency sheet TOOL-M 17, use of torque multipliers). The maker's instructions come first.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction

from assistant.facts.codes import Why
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import Angle, AngleUnit, Torque
from assistant.fastening.tools import TorqueMultiplier
from assistant.faults import Fault


def input_torque(output: Torque, ratio: Decimal, efficiency: Decimal = Decimal(1)) -> Torque | Fault:
    """Return the torque [unit of ``output``] to put into a multiplier.

    ``output`` [any torque unit] is wanted at the bolt; ``ratio`` [1] is the torque ratio, which has the losses in it,
    or the gear ratio together with its ``efficiency`` [1].

    Formula: input = output / (ratio x efficiency).

    Source: balance of power in a gear train (any text on machine elements); no printed example was found.

    >>> from assistant.fastening.units import parse_torque
    >>> round(input_torque(parse_torque("600 N·m"), Decimal(5), Decimal("0.9")).value, 6)
    Decimal('133.333333')
    """
    if not ratio.is_finite() or ratio < 1:
        return Fault(f"The multiplier has a ratio of {ratio}", "a ratio is one or more, as stamped on the multiplier")
    if not efficiency.is_finite() or not 0 < efficiency <= 1:
        return Fault(f"The multiplier has an efficiency of {efficiency}", "give more than zero and at most one")
    return output / (Fraction(ratio) * Fraction(efficiency))


def reaction_torque(output: Torque, put_in: Torque) -> Torque:
    """Return the torque [unit of ``output``] with which the reaction arm pushes, against the sense of the bolt.

    ``output`` [any torque unit] is at the bolt, ``put_in`` [any torque unit] at the input on the same axis.

    Formula: reaction = output - input.

    Source: balance of torques about one axis (statics).

    >>> from assistant.fastening.units import parse_torque
    >>> str(reaction_torque(parse_torque("520 N·m"), parse_torque("130 N·m")))
    '390 N·m'
    """
    return output - put_in


def input_angle(output: Angle, gear_ratio: Decimal) -> Angle | Fault:
    """Return the angle [unit of ``output``] to turn at the input.

    ``output`` [degrees or turns] is wanted at the bolt, ``gear_ratio`` [1] is the ratio of speeds, never the torque
    ratio.

    Formula: input = output x gear ratio.

    Source: kinematics of a gear train; no printed example was found.

    >>> from assistant.fastening.units import parse_angle
    >>> str(input_angle(parse_angle("40°"), Decimal(5)))
    '200°'
    """
    if not gear_ratio.is_finite() or gear_ratio < 1:
        return Fault(f"The multiplier has a gear ratio of {gear_ratio}", "a gear ratio is one or more")
    return output * gear_ratio


def handle_angle(output: Angle, multiplier: TorqueMultiplier) -> Angle | Fault:
    """Return the angle [°] to turn at the handle of a ``multiplier`` [tool], never further than meant.

    ``output`` [degrees or turns] is wanted at the bolt.

    Formula: output x gear ratio, down to the whole degree.

    Source: :func:`input_angle`; the rounding is ours.

    >>> from assistant.fastening.units import parse_angle, parse_torque
    >>> tool = TorqueMultiplier("m", "multiplier", Decimal("4.5"), Decimal("5.18"), parse_torque("900 N·m"), Decimal(4))
    >>> str(handle_angle(parse_angle("40°"), tool))
    '207°'
    """
    if multiplier.gear_ratio is None:
        return ratio_unknown(multiplier, "gear")
    turned = input_angle(output.to(AngleUnit.DEGREE), multiplier.gear_ratio)
    return turned if isinstance(turned, Fault) else turned.rounded(Decimal(1), down=True)


def ratio_unknown(multiplier: TorqueMultiplier, which: str) -> Unfit:
    """Say that the ``which`` [torque or gear] ratio of a ``multiplier`` [tool] is not in the tool file.

    Formula: none; without the ratio nothing is worked out.

    Source: ours.

    >>> from assistant.fastening.units import parse_torque
    >>> tool = TorqueMultiplier("m", "multiplier", None, None, parse_torque("900 N·m"), Decimal(4))
    >>> ratio_unknown(tool, "gear").sentence
    'The gear ratio of the multiplier is not known: read it off its plate and add it to the tools'
    """
    return Unfit(
        f"The {which} ratio of the {multiplier.name} is not known",
        "read it off its plate and add it to the tools",
        Why.RATIO,
        multiplier.id,
        name=multiplier.name,
    )


def combined_accuracy(parts: Iterable[Decimal]) -> Decimal:
    """Return the accuracy [%] of tools in a row whose own accuracies ``parts`` [%] are independent.

    Formula: the root of the sum of squares.

    Source: JCGM 100:2008 (GUM), 5.1.2, for a product of independent factors.

    >>> round(combined_accuracy([Decimal(4), Decimal(4)]), 6)
    Decimal('5.656854')
    """
    return sum((part * part for part in parts), Decimal(0)).sqrt()
