"""A table of steps becomes a draft of a procedure."""
