"""Everything that makes or changes a book. Every write goes through the one atomic write."""
