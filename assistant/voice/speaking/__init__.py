"""From sentences and tones to blocks of sound."""
