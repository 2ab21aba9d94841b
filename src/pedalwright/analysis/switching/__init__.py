"""What is heard when a foot switch, a plug or the supply is moved: standing voltages that find a way out."""
