"""Names and types: from the tree to the typed program."""
