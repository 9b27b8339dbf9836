"""Tables as rows of cells, from text files and from workbooks."""
