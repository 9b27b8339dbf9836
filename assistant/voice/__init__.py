"""Sound in and out: microphone, recogniser, synthesiser, loudspeaker."""
