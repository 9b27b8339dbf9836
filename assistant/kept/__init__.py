"""What the journal keeps of a job, and of those before it, made into a session, a time and pictures again."""
