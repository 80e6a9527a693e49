"""The sky above the hut: where the satellites stand, and what of them is heard inside."""
