"""The bench: the described door as a simulated one, under the very controller that is flashed."""
