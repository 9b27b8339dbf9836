"""The journal in the central store: the jobs of all bays of one workshop."""
