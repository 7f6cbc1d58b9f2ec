"""What a page has of each kind of answer."""
