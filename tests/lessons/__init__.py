"""The lessons: what they ask, and what they say of an answer."""
