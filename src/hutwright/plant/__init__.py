"""What acts on what: circuit, masses, mechanism and loads, shared by the bench and the trades."""
