"""The kinds of step, a module for each: its class and its keys of the file format. The base code names none of them."""
