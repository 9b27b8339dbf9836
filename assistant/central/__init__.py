"""The workshop's central store on PostgreSQL: where it is, the link to it, and its schema."""
