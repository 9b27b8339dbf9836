"""A bay as a service of its computer: its unit, its sign of life, its backup, and what looks after it."""
