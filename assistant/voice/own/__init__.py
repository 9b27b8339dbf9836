"""A voice of their own: what a profile of one person is, how it is learnt, and how a model is made that has it."""
