"""The lessons: small blocks with one fault each, and what is said of a learner's answer."""
