"""What may be said, the state table, and every sentence that is spoken. Pure."""
