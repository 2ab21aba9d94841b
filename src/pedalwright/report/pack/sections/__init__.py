"""The sections of the build document, a file for each."""
