"""The library on disk: read, check, write."""
