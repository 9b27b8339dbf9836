"""The kinds of step, a module for each: its class and its keys of the file format. The base code names none of them.

The order of the imports is that in which kinds are listed.
"""

# ruff: noqa: I001, F401
import assistant.procedure.steps.do
import assistant.procedure.steps.check
import assistant.procedure.steps.measure
import assistant.procedure.steps.count
import assistant.procedure.steps.tighten_keys
import assistant.procedure.steps.wait
import assistant.procedure.steps.fit
