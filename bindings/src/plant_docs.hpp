#pragma once

/// Docstrings of plants: what they take, give and raise.
namespace oxfade::python::docs {

inline constexpr const char* plant =
    R"(A building's dry systems and how they are to be purged.

Read one with `load`, or build it from objects by keywords. A plant never changes: `with_` gives changed
copies. One that exists has no problems left.

Raises
------
InputError
    With everything that is impossible in it, by the scenario file's keys.
)";

inline constexpr const char* plant_with = R"(with_(self, keys=None, **attributes)
--

A changed copy.

Parameters
----------
keys : dict, optional
    By dotted path. A text, a table or a flag is put in the place of the scenario file's value, as the
    program's --set does: ``{"riser.North.vent.'end vent'.diameter": "0.05 in"}``. A number is put in the
    place of an attribute, in the unit its name carries:
    ``{"riser.North.vent.'end vent'.diameter_m": 1.27e-3}``.
**attributes
    The plant's own attributes: ``with_(duration_s=864000.0, target=0.975)``.

Returns
-------
Plant

Raises
------
InputError
    With everything that is wrong: unknown keys, values of the wrong dimension, an impossible plant.
)";

inline constexpr const char* plant_riser = R"(riser(self, name)
--

The riser of that name.

Returns
-------
Riser

Raises
------
InputError
    When there is none: the message lists what there is.
)";

inline constexpr const char* plant_survey = R"(survey(self, units=None)
--

What can be said before a run, as `oxfade check` prints it.

Parameters
----------
units : str, optional
    'si' or 'us'; the file's own by default.

Returns
-------
str
    Lines of at most 80 columns.

Raises
------
InputError
    For another system of units.
)";

inline constexpr const char* plant_to_toml = R"(to_toml(self)
--

The plant as a scenario file, in the units of its reports, that `load` and the program read.

Returns
-------
str

Raises
------
Nothing.
)";

}  // namespace oxfade::python::docs
