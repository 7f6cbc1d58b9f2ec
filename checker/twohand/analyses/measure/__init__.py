"""The figures of a block: lag, reaction, times between starts, safety distances."""
