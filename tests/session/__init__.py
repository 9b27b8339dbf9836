"""Tests of the conversation."""
