"""Photos of a shell: adding them, looking at them, saying what they show."""
