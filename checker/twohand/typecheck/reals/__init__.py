"""REAL and LREAL, as far as comparisons of inputs with constants go."""
