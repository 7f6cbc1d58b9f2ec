"""Which small change of a block would keep what is asked of it."""
