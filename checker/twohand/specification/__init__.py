"""The spec language and what it asks of a block."""
