"""With what bolts are tightened: tools that are named and chosen, and values that are set, said and read off."""
