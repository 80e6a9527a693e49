"""Files beside the description: read, bounded, every fault named by its line."""
