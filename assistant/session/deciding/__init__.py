"""From an input to the facts that it brings about: today's rules. Pure."""
