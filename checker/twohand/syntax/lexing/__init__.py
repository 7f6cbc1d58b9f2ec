"""Characters to tokens."""
