"""A job on a recording or a typed talk, faster than it would be in the bay."""
