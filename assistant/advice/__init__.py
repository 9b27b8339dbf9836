"""The computing colleague: what is worked out from values that were measured or asked for.

Each answer is advice and says how it was reached. Pure: what asks a solver has a limit of work instead of a limit of
time, so that the same values always give the same answer.
"""
