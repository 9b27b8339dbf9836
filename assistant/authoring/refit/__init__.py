"""Drafts the refitting of what a procedure removes."""
