"""What is printed, where it goes, and how a command ends."""
