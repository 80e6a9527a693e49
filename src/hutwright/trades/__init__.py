"""The trades, one package each, one file a check; they do not know each other."""
