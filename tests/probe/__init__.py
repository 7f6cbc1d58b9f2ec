"""The program for a controller on the bench, and what its number says."""
