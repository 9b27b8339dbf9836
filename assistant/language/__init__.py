"""What is said and what is understood, in the language of the bay."""
