"""A voice-driven, hands-free step assistant for people who strip and rebuild machines."""

__version__ = "0.1.0"
