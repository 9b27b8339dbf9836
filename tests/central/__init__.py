"""The central store, on a real PostgreSQL that the tests start and stop."""
