"""Units, tightening programmes and how values are spoken. Pure."""
