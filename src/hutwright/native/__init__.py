"""The door's controller in C, the simulated door it runs against, and both from Python."""
