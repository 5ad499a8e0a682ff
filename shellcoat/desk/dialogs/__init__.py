"""Dialogs of the window: what is asked for once in a while rather than at every dip."""
