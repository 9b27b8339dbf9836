"""The rules of `check`, one module for each subject; ``table.py`` lists them."""
