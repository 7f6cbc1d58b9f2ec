"""A question of a fixed scan in bits: bounded numbers, a graph of ANDs and inverters, its text."""
