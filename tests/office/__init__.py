"""The office over several bays, on a real server."""
