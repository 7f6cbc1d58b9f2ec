"""What is checked of one random thing, given by its seed: tests do it with fixed seeds,
``python -m tests.search`` with new ones."""
