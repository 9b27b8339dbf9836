"""From a state and a fact to the next state: what happened is taken as it was, and no rule of today is asked."""

from assistant.session.evolving import asking, bolts, going, steps  # each enters its functions into the table
from assistant.session.evolving.table import evolve, fold, takes_up

__all__ = ["asking", "bolts", "evolve", "fold", "going", "steps", "takes_up"]
