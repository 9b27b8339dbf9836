"""What the commands that only look something up, or write one thing down, print."""
