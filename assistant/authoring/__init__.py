"""What writes, imports, checks, compares and previews procedures, away from a job."""
