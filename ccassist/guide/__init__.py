"""The guided walk through the bench steps: a state machine with no terminal in it."""
