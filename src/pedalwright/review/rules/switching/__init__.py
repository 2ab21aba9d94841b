"""What is heard when a foot switch or a plug is moved."""
