"""Writes the record of a job, adds to it, and checks it."""
