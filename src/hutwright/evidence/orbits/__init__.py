"""Almanacs and navigation files: the satellites' orbits as they are."""
