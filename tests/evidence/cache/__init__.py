"""Answers that are kept between runs."""
