"""Exchange files of IEC 61131-10 as structured text, each place kept."""
