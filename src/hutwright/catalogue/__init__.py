"""Tables that ship with the project; rows go by name, each with where its numbers come from."""
