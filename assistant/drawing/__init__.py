"""The map of a bolt group, as a drawing for page and paper."""
