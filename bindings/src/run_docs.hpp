#pragma once

/// Docstrings of runs: what they take, give and raise.
namespace oxfade::python::docs {

inline constexpr const char* run =
    "What a plant did: made by `predict`, never changed, can be pickled.\n\nTimes count from the start of "
    "the "
    "run, fractions are mole fractions of the dry gas, pressures are absolute.\n";

inline constexpr const char* riser_run_pipe = R"(pipe(self, name)
--

What the pipe of that name did.

Returns
-------
PipeRun

Raises
------
InputError
    When there is none: the message lists what there is.
)";

inline constexpr const char* riser_run_low_point = R"(low_point(self, name)
--

What became of the water at the low point of that name.

Returns
-------
LowPointRun

Raises
------
InputError
    When there is none: the message lists what there is.
)";

inline constexpr const char* riser_run_reading = R"(reading(self, name)
--

What an analyser shows at the vent or sampling point of that name.

Returns
-------
ReadingRun

Raises
------
InputError
    When there is none: the message lists what there is.
)";

inline constexpr const char* stretch_riser = R"(riser(self, name)
--

What the riser of that name did in this stretch.

Returns
-------
RiserStretch

Raises
------
InputError
    When there is none: the message lists what there is.
)";

inline constexpr const char* run_riser = R"(riser(self, name)
--

What the riser of that name did.

Returns
-------
RiserRun

Raises
------
InputError
    When there is none: the message lists what there is.
)";

inline constexpr const char* run_with_remedy = R"(with_remedy(self, remedy)
--

The plant with one of the run's remedies done, to run it on cells as fine as the run's own.

Parameters
----------
remedy : Remedy
    One of this run's `remedies`.

Returns
-------
Plant
    Of the same duration. Equal lines of which some get a vent are parted.

Raises
------
InputError
    For a remedy of another run.
)";

inline constexpr const char* run_report = R"(report(self, units=None)
--

The report the program prints.

Parameters
----------
units : str, optional
    'si' or 'us'; the file's own by default.

Returns
-------
str
    Lines of at most 80 columns. What the program says of things nobody knows exactly, and of what would help,
    is in it where the run was made with `vary` and `remedies`.

Raises
------
InputError
    For another system of units.
)";

inline constexpr const char* run_to_json = R"(to_json(self, units=None)
--

The results as the program's --json writes them, in SI.

Parameters
----------
units : str, optional
    'si' or 'us': units the messages' texts speak in; the file's own by default.

Returns
-------
str

Raises
------
InputError
    For another system of units.
)";

inline constexpr const char* run_to_csv = R"(to_csv(self)
--

The time series as the program's --csv writes them.

Returns
-------
str
    Header ``time_s,riser,pipe,cell,pressure_pa,oxygen,nitrogen``, one line per time and compartment.

Raises
------
Nothing.
)";

inline constexpr const char* run_to_dataframe = R"(to_dataframe(self)
--

The time series in long form, one row per time and compartment.

Returns
-------
pandas.DataFrame
    Columns time_s [s], riser, pipe, cell (from 1), pressure_pa [Pa abs], oxygen and nitrogen
    [mole fractions]: those of `to_csv`.

Raises
------
ImportError
    Where pandas is not installed.
)";

inline constexpr const char* run_plot = R"(plot(self, *, riser=None, ax=None)
--

Draw oxygen against time: the far end of every pipe, the average by volume, and the target.

Of many pipes those stand out that say most: the last to reach the target, and what is read at vents and
sampling points.

Parameters
----------
riser : str, optional
    Draw this riser alone; all, one panel each, by default.
ax : matplotlib.axes.Axes, optional
    Draw into these; needs `riser` where the plant has several.

Returns
-------
matplotlib.figure.Figure

Raises
------
InputError
    For an unknown riser, or one Axes for several risers.
ImportError
    Where matplotlib is not installed.
)";

}  // namespace oxfade::python::docs
