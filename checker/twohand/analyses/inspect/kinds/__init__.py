"""One module for each kind of point that an inspection finds."""
