"""One frozen circuit, and every result asked for, computed once. Nothing here knows how a result is shown."""
