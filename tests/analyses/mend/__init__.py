"""Changes that mend a block."""
