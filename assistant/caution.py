"""The standing caution: said when a job begins, printed on every paper, and part of the help."""

CAUTION = "The maker's procedure, local codes and licensed practice come first."
CAUTION_SHORT = "The maker's procedure comes first."
"""For a label that has no room for more."""
