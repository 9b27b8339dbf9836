"""A workshop to try out on one computer: a PostgreSQL of its own, an office, and two bays that rehearse."""
