"""Answers that are kept between runs; none is believed before it was checked again."""
