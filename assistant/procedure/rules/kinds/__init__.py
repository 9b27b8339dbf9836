"""The rules that are about one kind of step."""
