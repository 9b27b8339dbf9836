"""A phone as the headset of a bay: its microphone and its loudspeaker, over a certificate of the bay's own."""
