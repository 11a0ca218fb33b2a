#include "arrays.hpp"

#include <algorithm>
#include <limits>
#include <utility>

namespace oxfade::python {

py::array_t<double> view_of(const std::vector<double>& numbers, std::vector<py::ssize_t> shape,
                            py::handle owner) {
    py::array_t<double> view(std::move(shape), numbers.data(), owner);
    view.attr("setflags")(py::arg("write") = false);
    return view;
}

py::array_t<double> array_of(const std::vector<std::optional<double>>& numbers) {
    py::array_t<double> array(static_cast<py::ssize_t>(numbers.size()));
    std::transform(numbers.begin(), numbers.end(), array.mutable_data(), [](const auto& number) {
        return number.value_or(std::numeric_limits<double>::quiet_NaN());
    });
    return array;
}

}  // namespace oxfade::python
