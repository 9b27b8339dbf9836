"""From the fields of an older version of a fact to those of the next one; a stored job opens for ever."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Upcaster = Callable[[dict[str, Any]], dict[str, Any]]

UPCASTERS: Mapping[tuple[str, int], Upcaster] = {}
"""By kind and version: what makes the fields of the next version of it."""
