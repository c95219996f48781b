"""Outside files in: GPX, GeoJSON, CSV, GeoTIFF; never writes."""
