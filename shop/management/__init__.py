"""What a person runs in a terminal."""
