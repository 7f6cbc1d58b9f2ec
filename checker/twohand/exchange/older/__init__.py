"""The older open exchange schema (TC6, 2.0 and 2.01), as the elements of IEC 61131-10."""
