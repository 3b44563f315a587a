"""What the tests of hostile input share: the values, the public surface, and what is allowed."""
