"""The one shape of an answer: check, step, lever and status."""
