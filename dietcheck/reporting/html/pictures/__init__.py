"""Pictures of the report, one a module: inline SVG that reads in black and white and aloud."""
