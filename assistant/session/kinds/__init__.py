"""One module for each kind of step: what the session must know of it. Whoever asks for a part imports this package."""

from assistant.session.kinds import check, count, do, fit, measure, tighten, wait  # noqa: F401 (each makes its part known)
