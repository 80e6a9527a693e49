"""Searches over whole assessments: each takes descriptions and gives a table or a choice."""
