"""The serial line to a board, and boards that are only simulated."""
