"""Whether a spec notices small changes of its block."""
