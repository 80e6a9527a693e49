"""Where things are in the hut's frame: faces, solids, members, leaf over travel, linkage and lane."""
