"""Studies: many runs, or none, for a decision. Their numbers are those of the program's verbs."""

from .checks import Check, DeadEnd, RiserCheck, check
from .commissioning import Commissioning, Step, Verdict, commission
from .comparison import Comparison, Difference, compare
from .fitting import Confusion, Estimate, Explanation, Fit, Forecast, Reading, fit
from .sizing import Binding, Design, Sizing, TradeOff, size
from .sweeps import SobolDesign, SobolIndices, Sweep, sweep

__all__ = [
    "Binding",
    "Check",
    "Commissioning",
    "Comparison",
    "Confusion",
    "DeadEnd",
    "Design",
    "Difference",
    "Estimate",
    "Explanation",
    "Fit",
    "Forecast",
    "Reading",
    "RiserCheck",
    "Sizing",
    "SobolDesign",
    "SobolIndices",
    "Step",
    "Sweep",
    "TradeOff",
    "Verdict",
    "check",
    "commission",
    "compare",
    "fit",
    "size",
    "sweep",
]
