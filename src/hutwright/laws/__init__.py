"""Formulas: floats and arrays in, floats and arrays out; one law or one tight family a file."""
