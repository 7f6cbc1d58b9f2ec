"""Text to tree to typed program: no solver, no meaning."""
