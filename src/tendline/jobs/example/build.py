"""Owns the invented build of the example: what its devices are made of, as a build file a person can edit.

Does not own the devices on record (`gear`), which are told to be of these very measures.
"""

BUILD = """\
# Figures of an example, not of your gear: put your own in. What you leave out is "not verified".
name = "coyote and fox"
finish = "plain"
subtype = "neck-type"

[cable]
make = "7x7"                  # 7x7, 7x19 or 1x19
material = "galvanised"       # or stainless
diameter = "3/32 in"
length = "72 in"              # as cut
tip = "1/2 in"                # used up by the fitting at the tip
eye = "3 in"                  # used up by the eye at the anchor end
cost_per_ft = 0.12

[loop]
largest_across = "12 in"      # or largest_around: they are three times apart
smallest_across = "3 in"

[lock]
name = "washer"
length = "3/4 in"
relaxing = true
moving_parts = false
single_piece = true
power_assisted = false
mass = "10 g"
cost = 0.4

[breakaway]
label = "285 lb"
at = "lock"
method = "maker"
mass = "4 g"
cost = 0.55

[swivel]
count = 1
at = ["anchor"]
free = true
holds = "700 lb"
mass = "25 g"
cost = 0.6

[end]
kind = "swaged-sleeve"
mass = "3 g"
cost = 0.1

[stop]
mass = "2 g"
cost = 0.05

[support]
mass = "60 g"
cost = 0.3

[anchor]
make = "rod"
soil = "hard"
long = "30 in"
wide = "1/2 in"
extension = "12 in"
frozen = false
immovable = true
mass = "700 g"
cost = 3.5

[tag]
says = ["name", "address"]
material = "copper"
ferrous = false
durable = true
attached = true
mass = "2 g"
cost = 0.35
"""
"""A build file."""
