"""Measures the hearing on recordings, and checks a microphone."""
