"""What to do about the numbers: cylinder-to-cylinder balance and machining."""
