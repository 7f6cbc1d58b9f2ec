"""Faulty inputs by subject; each is one cause, and what has to be said of it."""
