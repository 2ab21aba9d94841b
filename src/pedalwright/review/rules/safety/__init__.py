"""What can hurt a person."""
