"""The Dip page: what goes on this shell now, and logging it."""
