"""From blocks of sound to what was heard."""
