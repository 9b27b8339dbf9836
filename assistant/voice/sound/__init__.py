"""The two ends of a sound card, and which devices they are."""
