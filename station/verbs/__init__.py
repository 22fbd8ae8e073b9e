"""The questions for scripts, a module a group; each turns arguments into one desk call and its answer into lines."""
