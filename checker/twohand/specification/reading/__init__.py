"""What a spec says of its files, its clock and its platform."""
