"""Variables: declarations, instances, addresses, who may write them."""
