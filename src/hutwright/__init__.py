"""Engineering checks for a small powered shelter, from one plain-text description of it."""

__version__ = "0.1.0"
