"""The journal on disk: one SQLite file for all jobs of a bay."""
