"""The trade's sums from the command line: convert a torque, and what to set on a wrench with an adapter."""

from __future__ import annotations

from decimal import Decimal

from assistant.bay.refusing import guarded
from assistant.fastening.quantities import Angle, Length, Torque, TorqueUnit
from assistant.fastening.units import parse_angle, parse_length, parse_torque
from assistant.fastening.wrench import STRAIGHT, applied, setting
from assistant.faults import Fault
from assistant.language.chosen import LANGUAGE
from assistant.terminal.exits import Exit, or_refuse
from assistant.terminal.tables import table

_STEP = Decimal("0.01")


def print_conversion(text: str) -> Exit:
    """Print the torque ``text`` in every unit, to two decimals, and how it is spoken."""
    return guarded(lambda: _conversion(text))


def _conversion(text: str) -> Exit:
    torque = or_refuse(parse_torque(text))
    rows = [
        (f"{torque.to(unit).rounded(_STEP)}", LANGUAGE.units.torque_words(torque.to(unit).rounded(_STEP)))
        for unit in TorqueUnit
    ]
    print(table((str(torque), "spoken"), rows))
    return Exit.OK


def print_setting(torque: str, lever: str, extension: str, angle: str) -> Exit:
    """Print what to set so that ``torque`` arrives at the bolt; bare lengths are in mm, a bare angle in degrees."""
    return guarded(
        lambda: _setting(torque, _with_unit(lever, "mm"), _with_unit(extension, "mm"), _with_unit(angle, "°"))
    )


def _setting(torque: str, lever: str, extension: str, angle: str) -> Exit:
    wanted: Torque = or_refuse(parse_torque(torque))
    grip: Length = or_refuse(parse_length(lever))
    reach: Length = or_refuse(parse_length(extension))
    # A parsed angle is never zero, since no bolt is turned by nothing; an adapter may well stand straight.
    turned: Angle = STRAIGHT if angle in ("0°", "0.0°") else or_refuse(_adapter_angle(angle))
    exact: Torque = or_refuse(setting(wanted, grip, reach, turned))
    shown = exact.rounded(_STEP, down=True)
    arrives: Torque = or_refuse(applied(shown, grip, reach, turned))
    print(f"Set {shown} on the wrench: {arrives.rounded(_STEP)} arrive at the bolt ({wanted} are wanted).")
    print(f"Lever {grip}, adapter {reach} at {turned}. Pull at the point that the lever was measured to.")
    print("The maker's procedure comes first: some joints may not be tightened through an adapter.")
    return Exit.OK


def _adapter_angle(text: str) -> Angle | Fault:
    """Read the angle of an adapter; for a negative one say what is possible here."""
    found = parse_angle(text)
    if isinstance(found, Fault) and text.startswith("-"):
        return Fault(f"The adapter stands at {text}", "give 0 for straight, 90 for square, up to 180 for pointing back")
    return found


def _with_unit(text: str, unit: str) -> str:
    return text + unit if text.replace(".", "", 1).isdecimal() else text
