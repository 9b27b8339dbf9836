"""All that is spoken and recognised, behind one port: :mod:`assistant.language.port`; English is in ``en``."""
