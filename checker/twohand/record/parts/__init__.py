"""Documents of parts: what one of several runs answered, and all of them as one document again."""
