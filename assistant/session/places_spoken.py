"""Where a single bolt sits, in words."""

from __future__ import annotations

from assistant.drawing.spots import Hour, spot_of
from assistant.language.en import bolts
from assistant.procedure.model import Group


def where(group: Group, bolt: int) -> str:
    """Return where ``bolt`` sits on the map of its group as a sentence; "" when the map does not say."""
    spot = spot_of(group, bolt)
    if spot is None:
        return ""
    return bolts.at_hour(spot.hour) if isinstance(spot, Hour) else bolts.in_thirds(spot.across, spot.up)
