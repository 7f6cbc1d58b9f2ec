"""What surrounds the block, as program text: wiring, plants, supply."""
