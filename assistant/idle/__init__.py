"""A bay between jobs: it waits, is spoken to, and begins or takes up the next job."""
