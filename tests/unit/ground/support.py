"""Owns small helps for the tests of files brought in: a present, a zone, faults, rasters.

Does not own any expected value.
"""

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
import pytest
import rasterio
from rasterio.transform import Affine

from tendline.core.errors import Fault, Refused

NOW = datetime(2027, 1, 15, 12, 0, tzinfo=UTC)
ZONE = ZoneInfo("America/New_York")


def faults_of(call: Callable[[], object]) -> tuple[Fault, ...]:
    """Make the call, which must be refused, and give every fault it was refused with."""
    with pytest.raises(Refused) as caught:
        call()
    return caught.value.faults


def codes_of(call: Callable[[], object]) -> list[str]:
    """Give only the ids of the codes, in the order they were found."""
    return [fault.code.id for fault in faults_of(call)]


def origin(west: float, north: float, cell: float, cell_height: float | None = None) -> Affine:
    """Give the transform of a north-up raster, cells square unless told otherwise."""
    # Not rasterio's own function: it multiplies in a way that the locked version of affine warns of.
    return Affine(cell, 0.0, west, 0.0, -(cell_height or cell), north)


def write_tif(
    path: Path,
    z: npt.NDArray[Any],
    *,
    crs: str | None,
    transform: Affine | None,
    unit: str | None = None,
    **more: Any,
) -> Path:
    """Write heights as a GeoTIFF, as a user's program would; shape (rows, cols) or (bands, rows, cols)."""
    bands = z if z.ndim == 3 else z[np.newaxis]
    place = {} if transform is None else {"transform": transform}
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        count=bands.shape[0],
        height=bands.shape[1],
        width=bands.shape[2],
        dtype=bands.dtype,
        crs=crs,
        **place,
        **more,
    ) as out:
        out.write(bands)
        if unit is not None:
            out.set_band_unit(1, unit)
    return path
