"""An engine in a process of its own: the end that asks, and the end that answers."""
