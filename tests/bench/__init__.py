"""Benches: each measures the program against a plain anchor in the same run."""
