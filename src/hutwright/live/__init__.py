"""What talks to a board that runs: its lines, its port, and who may ask it for something from afar."""
