"""Supply, polarity and heat."""
