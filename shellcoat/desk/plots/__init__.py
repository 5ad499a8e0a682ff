"""Plots of the desk: pure functions on matplotlib axes, and the panel that shows them.

Nothing is imported here, since matplotlib takes a third of a second to load: pages import the
modules of this folder when they first show a plot.
"""
