"""A stored reference of what every command prints, and the comparison of two of them."""
