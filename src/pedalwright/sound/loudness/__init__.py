"""How loud a sound is, how high its peaks are, and the gains that make two alike and both safe."""
