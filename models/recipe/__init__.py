"""How the shipped acoustic model was made: gather, train, export, graph, measure.

Nothing here is imported by the assistant; it needs the dependency group ``train``. ``python -m models.recipe --help``
lists the stages. Sources and licences are in ``models/README.md``.
"""
