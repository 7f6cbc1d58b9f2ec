"""A system made smaller or plainer before it is searched, and answers about it led back."""
