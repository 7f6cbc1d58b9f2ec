"""The trials of a sheet as a program for a controller on the bench."""
