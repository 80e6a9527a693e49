"""Reversal settings tried on populations of invented doors; run as ``python -m tools.populations``."""
