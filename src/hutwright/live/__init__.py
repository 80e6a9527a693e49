"""What talks to a board that runs or is simulated: its lines, its port, and who may ask it for what."""
