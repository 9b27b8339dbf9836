"""Typed rehearsals: whole dialogues through ``assistant rehearse --typed``, with what must be heard back."""
