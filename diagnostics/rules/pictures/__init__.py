"""Pictures as SVG: no scripts, nothing fetched, readable in black and white, in dark and light."""
