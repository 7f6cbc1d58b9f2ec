"""The nodes of the tree."""
