"""Outcomes of pours: logging one, and how they go across shells."""
