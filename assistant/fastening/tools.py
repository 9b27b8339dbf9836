"""The tools of a bay: torque wrenches, multipliers, adapters, angle gauges, sockets and bits. Plain values.

How they stand in a file is the business of the procedure's room. Which of them to take for a bolt
is in :mod:`assistant.fastening.choice`, and for a stage in :mod:`assistant.fastening.tool_plan`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from assistant.fastening.calibration import INTERVAL_MONTHS, INTERVAL_USES, Due, calibration_due, permissible_deviation
from assistant.fastening.quantities import Angle, Length, Torque, TorqueUnit
from assistant.fastening.wrench import STRAIGHT


@dataclass(frozen=True, slots=True)
class TorqueWrench:
    """A torque wrench.

    ``kind`` is its type and class, such as "II A"; ``low``, ``high`` and ``graduation`` are in the unit of its scale;
    ``lever`` is from the centre of the grip to the centre of the drive; ``deviation`` [%] is its own certificate's, if
    there is one; ``uses`` counts clicks since ``calibrated``; ``serial`` stands on it as a code, as on any tool.
    """

    id: str
    name: str
    kind: str
    low: Torque
    high: Torque
    graduation: Torque
    lever: Length | None = None
    calibrated: date | None = None
    uses: int = 0
    months: int = INTERVAL_MONTHS
    most_uses: int = INTERVAL_USES
    deviation: Decimal | None = None
    serial: str = ""

    @property
    def unit(self) -> TorqueUnit:
        """Return the unit of the scale."""
        return self.high.unit

    @property
    def accuracy(self) -> Decimal:
        """Return how far the wrench may be off, plus and minus [%]."""
        if self.deviation is not None:
            return self.deviation
        permitted = permissible_deviation(self.kind, self.high)
        return permitted if isinstance(permitted, Decimal) else Decimal(6)

    def due(self, today: date) -> Due:
        """Return whether it is due for calibration on ``today`` [date]."""
        return calibration_due(self.calibrated, self.uses, today, self.months, self.most_uses)


@dataclass(frozen=True, slots=True)
class TorqueMultiplier:
    """A multiplier. ``torque_ratio`` [1] has its losses in it, ``gear_ratio`` [1] counts turns; ``accuracy`` [%].

    A ratio is None where the tool file does not give it; then nothing is worked out with it.
    """

    id: str
    name: str
    torque_ratio: Decimal | None
    gear_ratio: Decimal | None
    rated_output: Torque
    accuracy: Decimal
    serial: str = ""


@dataclass(frozen=True, slots=True)
class Adapter:
    """A crowfoot or lever extension.

    ``length`` is from the centre of the drive to the centre of the bolt, ``angle`` that at which it stands to the
    wrench (0° straight on, 90° square).
    """

    id: str
    name: str
    length: Length
    angle: Angle = STRAIGHT
    serial: str = ""


@dataclass(frozen=True, slots=True)
class AngleGauge:
    """An angle gauge and the step of its scale."""

    id: str
    name: str
    graduation: Angle
    serial: str = ""


@dataclass(frozen=True, slots=True)
class Socket:
    """A socket, a bit or a plain extension bar: ``size`` as it is called, such as "13 mm" or "T50"."""

    id: str
    name: str
    size: str = ""
    serial: str = ""


@dataclass(frozen=True, slots=True)
class ToolBox:
    """All tools of a bay; an id stands for one tool in the whole box."""

    wrenches: tuple[TorqueWrench, ...] = ()
    multipliers: tuple[TorqueMultiplier, ...] = ()
    adapters: tuple[Adapter, ...] = ()
    gauges: tuple[AngleGauge, ...] = ()
    sockets: tuple[Socket, ...] = ()

    def names(self) -> dict[str, str]:
        """Return how every tool is called, by its id."""
        names: dict[str, str] = {}
        for tools in (self.wrenches, self.multipliers, self.adapters, self.gauges, self.sockets):
            names |= {tool.id: tool.name for tool in tools}
        return names

    def serials(self) -> dict[str, str]:
        """Return the number that stands on every tool, by its id; "" where the file has none."""
        serials: dict[str, str] = {}
        for tools in (self.wrenches, self.multipliers, self.adapters, self.gauges, self.sockets):
            serials |= {tool.id: tool.serial for tool in tools}
        return serials

    def with_clicks(self, clicks: Mapping[str, int]) -> ToolBox:
        """Return the box with ``clicks`` [count by wrench id] added to the uses."""
        return replace(
            self, wrenches=tuple(replace(tool, uses=tool.uses + clicks.get(tool.id, 0)) for tool in self.wrenches)
        )

    def gauge(self) -> AngleGauge | None:
        """Return the angle gauge with the finest scale, if there is one."""
        return min(self.gauges, key=lambda gauge: (gauge.graduation.size, gauge.id), default=None)
