"""The command line: parses what was asked, calls `app`, shows the answer."""
