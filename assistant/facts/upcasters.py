"""From the fields of an older version of a fact to those of the next one; a stored job opens for ever."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Upcaster = Callable[[dict[str, Any]], dict[str, Any]]


def _shims_of_exact_thickness(fields: dict[str, Any]) -> dict[str, Any]:
    """Before version 2 of ``shims_worked_out`` the thickness of a shim was taken as exact."""
    return {**fields, "thickness": None}


UPCASTERS: Mapping[tuple[str, int], Upcaster] = {("shims_worked_out", 1): _shims_of_exact_thickness}
"""By kind and version: what makes the fields of the next version of it."""
