"""Simulated classes: how well the steering works where the truth is known."""
