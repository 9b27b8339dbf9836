"""The commands, one module for each family; each is thin: it reads its options and hands them to the bay."""
