"""Break a sound park in known ways, many times over from seeds, and count what is caught."""
