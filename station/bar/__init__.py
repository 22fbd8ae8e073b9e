"""The nouns of a bar, the words of its files, and what a person may type."""
