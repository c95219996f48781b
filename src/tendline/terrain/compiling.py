"""Owns how loops are compiled, and the types of arrays they take.

Does not own any loop (terrain.lay, terrain.kernel) or when they are made ready (terrain.ready).

Array types are fixed (C order, writable): another type compiles again. A compiled loop is kept by the date of
its own file, so it calls only loops of that file.
"""

from collections.abc import Callable
from typing import Any, TypeVar, cast

import numba
import numpy as np
import numpy.typing as npt

Float32 = npt.NDArray[np.float32]
Float64 = npt.NDArray[np.float64]
Bytes = npt.NDArray[np.uint8]
Bits = npt.NDArray[np.uint16]
Int32 = npt.NDArray[np.int32]
Int64 = npt.NDArray[np.int64]

BLOCKED = 255
"""Class of cells that cannot be entered; 0 is open ground, 1 to 254 are barriers with a toll."""

_Function = TypeVar("_Function", bound=Callable[..., Any])


def compiled(function: _Function) -> _Function:
    """Compile on first use and keep it for later runs; where nothing can be kept, compile in every run."""
    return _kept(function, {})


def compiled_sums(function: _Function) -> _Function:
    """Compile likewise, leaving the order of sums to the machine: they may differ in the last digit."""
    return _kept(function, {"fastmath": {"contract", "reassoc"}})


def _kept(function: _Function, how: dict[str, Any]) -> _Function:
    try:
        return cast(_Function, numba.njit(cache=True, nogil=True, **how)(function))
    except RuntimeError:  # neither the folder of this file nor one of the user's own can be written to
        return cast(_Function, numba.njit(nogil=True, **how)(function))
