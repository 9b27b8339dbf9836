"""Fakes: small documented stand-ins of ours for people and things."""
