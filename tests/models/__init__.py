"""The recipe of the acoustic model, and the model that ships."""
