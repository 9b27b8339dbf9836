"""The procedure model, its YAML reader and its rules."""
