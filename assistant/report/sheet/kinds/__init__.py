"""One module for each kind of step that has more on a work sheet than its text."""

from assistant.report.sheet.kinds import check, count, do, fit, measure, tighten, wait  # noqa: F401 (each adds its part)
