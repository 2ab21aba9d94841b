"""One file per stage kind; the list of files is the list of kinds."""
