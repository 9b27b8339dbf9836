"""What reads and writes the file format: text, tree, keys, values, procedures and tool files."""
