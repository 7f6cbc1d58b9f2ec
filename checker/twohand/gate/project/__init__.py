"""The project file, and the places in it."""
