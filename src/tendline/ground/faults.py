"""Owns the fault codes of files brought in from outside: one code for one meaning.

Does not own their wording in use, which stands where the fault is found.
"""

from tendline.core.errors import Code

# Any file of places.
FILE = Code("GND-001", "A file could not be opened, or is empty.")
FORMAT = Code("GND-002", "A file is of a kind that is not read.")
TOO_LARGE = Code("GND-003", "A file is too large to be read.")
ENCODING = Code("GND-004", "A text file is not UTF-8.")
NOT_PLACES = Code("GND-005", "A file is readable, but does not hold places.")
NO_KIND = Code("GND-011", "The file does not say what kind of thing a place is.")
KIND = Code("GND-012", "A kind of thing is not known.")
PLACE = Code("GND-013", "A longitude or latitude is missing or cannot be right.")
DATE = Code("GND-014", "A date is before 1980 or in the future.")
MEASURE = Code("GND-015", "A measure cannot be read, or cannot be right.")
UNIT = Code("GND-016", "A measure has no unit.")
TWO_UNITS = Code("GND-017", "A measure is given more than once.")
WORD = Code("GND-018", "A word is not one of the list it must come from.")
TAG_TWICE = Code("GND-019", "Two sets or devices in one file carry the same tag.")
SHAPE = Code("GND-020", "A point, line or area does not fit the kind of thing it is said to be.")
TAG_MISSING = Code("GND-021", "A device has no tag.")
FEATURE_MISSING = Code("GND-022", "A feature of the ground does not say what it is.")

# GPX.
XML = Code("GND-101", "A file is not well-formed XML.")
XML_DTD = Code("GND-102", "An XML file declares a document type or entities.")
NOT_GPX = Code("GND-103", "An XML file is not GPX.")
GPX_TIME = Code("GND-104", "A time in a GPX file cannot be read.")
KML = Code("GND-105", "A place in a KML file cannot be read.")

# GeoJSON.
JSON = Code("GND-201", "A file is not well-formed JSON.")
NOT_GEOJSON = Code("GND-202", "A JSON object is not GeoJSON.")
JSON_CRS = Code("GND-203", "A GeoJSON file is in a coordinate system other than WGS84.")
GEOMETRY = Code("GND-204", "A GeoJSON geometry is not built as RFC 7946 says.")

# Tables.
NO_HEADER = Code("GND-301", "A table has no header row that can be used.")
COLUMN = Code("GND-302", "A column is not known.")
COLUMN_TWICE = Code("GND-303", "A column stands in a table twice.")
ROW_LENGTH = Code("GND-304", "A row has more or fewer cells than the header.")
QUOTES = Code("GND-305", "A table's quotation marks or characters cannot be made sense of.")

# Elevation.
RASTER = Code("GND-401", "A file is not a raster that can be opened.")
RASTER_BROKEN = Code("GND-402", "A raster is cut short or damaged.")
RASTER_PLACE = Code("GND-403", "A raster does not say where on the earth it lies.")
HEIGHT_UNIT = Code("GND-404", "A raster does not say whether its heights are metres or feet.")
HEIGHT_UNITS = Code("GND-405", "Two sources disagree about the unit of heights.")
HEIGHT_WORD = Code("GND-406", "A unit of height is not known.")
HEIGHT_RANGE = Code("GND-407", "Heights are lower or higher than any ground.")
HEIGHT_SLOPE = Code("GND-408", "The ground is steeper than ground can be.")
HEIGHT_NONE = Code("GND-409", "A raster has no known height.")
RASTER_LARGE = Code("GND-410", "A raster has more cells than can be held.")
HEIGHTS_APART = Code("GND-411", "Two elevation models of the same ground are in different units.")

# Shapes.
OUTLINE_CROSSES = Code("GND-501", "An outline crosses or touches itself.")
OUTLINE_WRAPS = Code("GND-502", "An outline reaches over the 180th meridian.")
OUTLINE_FLAT = Code("GND-503", "An outline has no area.")
BARRIER_NAME = Code("GND-504", "A crossing names a barrier that is not there.")
BARRIER_FAR = Code("GND-505", "A crossing does not lie on any barrier.")

# Drive tables.
DRIVE_NAME = Code("GND-601", "A row of a drive table does not name two places.")
DRIVE_NUMBER = Code("GND-602", "Minutes or a distance of a drive cannot be read, or cannot be right.")
DRIVE_TWICE = Code("GND-603", "A drive is given twice, with different numbers.")
DRIVE_BOTH = Code("GND-604", "A row of a drive table does not say yes or no about the way back.")

# Forecasts.
FORECAST = Code("GND-701", "A file is no forecast that is read.")
FORECAST_TIME = Code("GND-702", "A time of a forecast cannot be read.")
FORECAST_UNIT = Code("GND-703", "A unit of a forecast is missing or not known.")
FORECAST_PAST = Code("GND-704", "A forecast is over.")
FORECAST_GAP = Code("GND-705", "A forecast has a gap, or times that overlap.")
FORECAST_ZONE = Code("GND-706", "Times of a forecast are in another zone than the line.")
FORECAST_FAR = Code("GND-707", "A forecast is for another place.")
FORECAST_VALUE = Code("GND-708", "A value of a forecast cannot be read, or cannot be right.")
FORECAST_WORDS = Code("GND-709", "A forecast in words cannot be made out.")
FORECAST_LACKS = Code("GND-710", "A forecast lacks what the snow is worked out from.")

# Photographs.
PHOTO = Code("GND-801", "A photograph cannot be opened.")
PHOTO_LARGE = Code("GND-802", "A photograph has too many pixels.")

# GeoPackages, shapefiles and archives.
VECTOR = Code("GND-901", "A GeoPackage or shapefile cannot be opened.")
VECTOR_CRS = Code("GND-902", "A layer does not say in which coordinate system it is.")
SHAPE_PART = Code("GND-903", "A part of a shapefile is missing.")
ZIP = Code("GND-904", "A ZIP archive cannot be opened, or is too large unpacked.")
ZIP_EMPTY = Code("GND-905", "A ZIP archive holds nothing that is read.")
