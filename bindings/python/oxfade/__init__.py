"""oxfade: when is dry sprinkler piping purged with nitrogen, and at what cost?

>>> import oxfade as ox
>>> plant = ox.load("cold_store.toml")                       # doctest: +SKIP
>>> run = ox.predict(plant)                                  # doctest: +SKIP
>>> run.riser("Store").time_to_target_s / 3600               # doctest: +SKIP

Numbers are in SI, and attributes carry their unit in the name. Predictions are no measurement and no approval:
local codes, the authority having jurisdiction and licensed practice govern. Nitrogen displaces breathing air.
"""

from ._core import (
    Action,
    Compressor,
    Cylinder,
    Cylinders,
    DailySwing,
    Generator,
    History,
    Leak,
    LeakByFlow,
    LeakByTest,
    LegSlopes,
    LoopLink,
    LowPoint,
    LowPointRun,
    Message,
    Mixing,
    Normal,
    OpenAlways,
    OpenBetween,
    OpenTimed,
    OpenUntil,
    OpenUntilTarget,
    Orifice,
    OxygenLimit,
    Pipe,
    PipeRun,
    Plant,
    PlantDuty,
    PressureSwitch,
    ReadingRun,
    Receiver,
    Reference,
    Regulator,
    Remedy,
    RemedyChange,
    Resolution,
    Riser,
    RiserDuty,
    RiserRun,
    RiserStretch,
    Run,
    SamplingPoint,
    Site,
    SourceRun,
    StretchRun,
    TemperatureKnot,
    TemperatureTable,
    Triangular,
    Uniform,
    Variation,
    Vent,
    VolumeOnly,
    WaterRise,
    __version__,
    load,
    loads,
    pipe_bore_m,
    predict,
    quantity,
)
from .ensembles import Ensemble, ensemble, predict_many
from .errors import ComputationError, Error, FileError, InputError, Problem
from .studies import (
    Binding,
    Check,
    Commissioning,
    Comparison,
    Confusion,
    DeadEnd,
    Design,
    Difference,
    Estimate,
    Explanation,
    Fit,
    Forecast,
    Reading,
    RiserCheck,
    Sizing,
    SobolDesign,
    SobolIndices,
    Step,
    Sweep,
    TradeOff,
    Verdict,
    check,
    commission,
    compare,
    fit,
    size,
    sweep,
)



def _load_units() -> None:
    """Reads the database of units that the package brings along, unless UDUNITS2_XML_PATH names another."""
    import os
    import pathlib

    database = pathlib.Path(__file__).parent / "bundled" / "units" / "udunits2.xml"
    if "UDUNITS2_XML_PATH" in os.environ or not database.is_file():
        return
    os.environ["UDUNITS2_XML_PATH"] = str(database)
    try:
        quantity("1 m", "length")
    finally:
        del os.environ["UDUNITS2_XML_PATH"]


_load_units()

__all__ = [name for name in dir() if not name.startswith("_") and name not in ("ensembles", "errors", "studies")]
