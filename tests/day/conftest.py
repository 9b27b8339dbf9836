"""The sound devices of the bay."""

from tests.devices.conftest import pulse

__all__ = ["pulse"]
