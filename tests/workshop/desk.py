"""A data folder that reaches the store, and the program called with it."""

from __future__ import annotations

from typer.testing import CliRunner

from assistant.__main__ import app


class Desk:
    """A data folder with the login of a bay or of an office, and what is called there."""

    def __init__(self, folder, place):
        folder.mkdir(mode=0o700)
        self.folder = folder
        self.reach(place)
        token = folder / "central.token"
        token.touch(mode=0o600)
        token.write_text(place.token, "utf-8")

    def reach(self, place, port=0):
        """Let it look for the store at another port."""
        line = f"host={place.host} port={port or place.port} dbname={place.database} user={place.login}"
        (self.folder / "settings.toml").write_text(f'central = "{line}"\n', "utf-8")

    def call(self, *words, code=0):
        """Call the program; return what it printed."""
        done = CliRunner().invoke(app, [*map(str, words)], env={"ASSISTANT_HOME": str(self.folder)})
        assert done.exit_code == code, done.output
        return done.output
