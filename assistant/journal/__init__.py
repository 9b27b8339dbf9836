"""The append-only, hash-chained journal and its stores."""
