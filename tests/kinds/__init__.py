"""A kind of step that the assistant does not know: every room takes it from the modules here, and from nowhere else.

The step flushes a circuit and asks for the litres that went through. Its values are invented.
"""
