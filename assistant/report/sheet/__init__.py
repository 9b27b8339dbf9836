"""The work sheet of a procedure, to be filled in by hand."""
