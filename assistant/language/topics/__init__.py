"""What a language must be able to do, topic by topic. The docstrings of all languages are here.

Every function takes plain arguments: text of the procedure and of people, numbers, torques and angles, and codes. None
takes a template with holes: a language puts the words of a sentence in its own order. What comes back is for the ear
(units in words, no digits, no symbols) unless the docstring says that it is for reading. Texts that come from the
procedure, the tool file or a person are said as they are written, with their digits in words.
"""
