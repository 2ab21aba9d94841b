"""A document on paper: PDF for printing, tagged for reading aloud, the same bytes for the same document."""
