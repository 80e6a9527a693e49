"""What the builder described: frozen records in SI that refuse the impossible."""
