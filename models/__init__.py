"""The project's own acoustic model and the recipe that makes it."""
