"""Where nets rest."""
