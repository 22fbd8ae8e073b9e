"""What is true outside the bar: pure functions on floats, the unit in the name, each with its source."""
