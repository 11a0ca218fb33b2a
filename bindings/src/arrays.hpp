#pragma once

#include <pybind11/numpy.h>

#include <optional>
#include <vector>

namespace oxfade::python {

namespace py = pybind11;

/// A NumPy array that looks into numbers kept alive by `owner`, without copying them; it cannot be written
/// to.
/// @param shape sizes of its axes, row-major
py::array_t<double> view_of(const std::vector<double>& numbers, std::vector<py::ssize_t> shape,
                            py::handle owner);

/// A new array; NaN where there is no number.
py::array_t<double> array_of(const std::vector<std::optional<double>>& numbers);

}  // namespace oxfade::python
