"""Typed answers judged."""
