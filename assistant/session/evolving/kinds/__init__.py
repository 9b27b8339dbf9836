"""What only one kind of step takes up: one module for each kind."""

from assistant.session.evolving.kinds import check, count, counting, fit, measure, tighten, trouble  # noqa: F401
