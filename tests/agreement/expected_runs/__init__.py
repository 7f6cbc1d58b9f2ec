"""Short runs with the values that the standards' texts ask for, written before the code was read.

Every column of a row is a scan. What two meanings of one word or block share by mistake, no
comparison of the two can show; these values come from outside of both.
"""
