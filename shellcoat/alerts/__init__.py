"""Alerts: what is due, told once and never lost."""
