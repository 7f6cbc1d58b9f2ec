"""The commands to learn with: the gallery, and the lessons."""
