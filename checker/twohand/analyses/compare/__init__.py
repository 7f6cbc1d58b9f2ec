"""Whether two versions of a block behave alike."""
