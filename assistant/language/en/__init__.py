"""English: the phrases that are understood, the words for numbers and units, and every sentence."""
