"""One module for each kind of step that has more on a work sheet than its text."""

from assistant.report.sheet.kinds import check, count, fit, tighten, wait

__all__ = ["check", "count", "fit", "tighten", "wait"]
