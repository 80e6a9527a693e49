"""Everyday observations, and what they make of the description."""
