"""Owns what stands in the layers of a GeoPackage: one for each kind of thing, every field.

Does not own writing the file (`ground.layers_out`). The format holds all of them.
"""

from tendline.ground.brought import BroughtKind, Fact
from tendline.ground.layers_out import Row, geopackage
from tendline.report.outgoing import Lost, Outgoing, fields_of


def write_geopackage(sent: Outgoing) -> tuple[bytes, tuple[Lost, ...]]:
    """Write a GeoPackage; nothing is lost.

    Layers are called as their things: ``sets``, ``parcels``. Whether places are blurred is told by the
    name of the file, and by the accuracy of each.
    """
    layers: dict[str, list[Row]] = {}
    for kind in BroughtKind:
        rows: list[Row] = []
        for thing in sent.things:
            if thing.kind is kind:
                where = thing.place or thing.outline or thing.path or None
                rows.append((where, {key: _cell(value) for key, value in fields_of(thing).items()}))
        if rows:
            layers[f"{kind.value}s"] = rows
    return geopackage(layers or {"sets": []}), ()


def _cell(value: Fact) -> str | float:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return float(value) if isinstance(value, float | int) else value
