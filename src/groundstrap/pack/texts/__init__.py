"""What the pack says in words: the order of work, what is live, what is left, what to measure, the sums."""
