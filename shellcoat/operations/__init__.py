"""What a person can do with an open book; the window and the command line share it."""
