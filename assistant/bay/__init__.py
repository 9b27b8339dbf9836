"""Builds one bay from its real parts, runs it, and closes it: the only assembler."""
