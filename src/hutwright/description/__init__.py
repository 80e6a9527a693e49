"""From files on disk to the model and back: every fault with its file and its line."""
