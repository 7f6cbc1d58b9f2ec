"""What is asked, and what stands around a block."""
