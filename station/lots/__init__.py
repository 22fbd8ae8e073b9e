"""What was made: the log of one library, in SQLite."""
