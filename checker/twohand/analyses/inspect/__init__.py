"""What a block shows without a spec: code that is never reached, values that are never used."""
