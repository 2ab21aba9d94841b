"""One file a source; the folder is the list."""
