"""Coat-by-coat record and drying forecast for lost-wax ceramic shells."""

__version__ = "0.1.0"
