"""From an assessment to text and files: sorts and phrases; no engineering number first appears here."""
