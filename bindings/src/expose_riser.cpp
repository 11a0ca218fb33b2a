#include "describe/fittings.hpp"
#include "describe/riser.hpp"
#include "expose.hpp"
#include "model.hpp"
#include "record.hpp"

namespace oxfade::python {
namespace {

template <class T>
const T& named(const std::vector<T>& list, const std::string& kind, const std::string& name) {
    std::optional<std::size_t> index;
    std::vector<std::string> known;
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (list[i].name == name) index = i;
        known.push_back(list[i].name);
    }
    return list[require_named(index, kind, name, known)];
}

void expose_fittings(py::module_& module) {
    bind_record<plant::Orifice>(module, "Orifice", "A round hole for gas with its discharge coefficient.");
    bind_record<plant::Regulator>(module, "Regulator",
                                  "Holds the riser's set pressure exactly while its orifice can.");
    bind_record<plant::PressureSwitch>(
        module, "PressureSwitch", "Wide open from `low_pa` up to `high_pa`, then shut down to `low_pa`.");
    bind_record<plant::OpenAlways>(module, "OpenAlways", "A vent that stands open once its riser is full.");
    bind_record<plant::OpenUntil>(module, "OpenUntil", "A vent that is open until a time of the run.");
    bind_record<plant::OpenUntilTarget>(
        module, "OpenUntilTarget",
        "A vent that is open until its whole riser is at target for the first time.");
    bind_record<plant::OpenTimed>(
        module, "OpenTimed",
        "A vent that opens when its riser is full, and again at equal distances in time.");
    bind_record<plant::OpenBetween>(
        module, "OpenBetween", "Pressure-cycle purging: opens at `high_pa`, shuts at `low_pa`, starts shut.");
    bind_record<plant::Vent>(module, "Vent", "A way out to the site's air at the far end of a pipe.");
    bind_record<plant::LeakByTest>(module, "LeakByTest",
                                   "A leak given by what a pressure test with air on the riser loses.");
    bind_record<plant::LeakByFlow>(module, "LeakByFlow",
                                   "A leak given by the standard flow of air it passes at a pressure.");
    bind_record<plant::Leak>(module, "Leak", "A hole that always acts.");
}

constexpr const char* find_doc_end =
    "\n\nRaises\n------\nInputError\n    When there is none: the message lists what there is.\n";

}  // namespace

void expose_riser(py::module_& module) {
    expose_fittings(module);
    bind_record<plant::VolumeOnly>(
        module, "VolumeOnly",
        "A pipe known by its inside volume alone: no mixing acts in it, no loop goes by.");
    bind_record<plant::Cylinder>(module, "Cylinder", "A pipe's bore and length.");
    bind_record<plant::Pipe>(module, "Pipe", "A length of pipe, or several equal ones side by side.")
        .def_property_readonly("volume_m3", &plant::Pipe::volume, "Inside volume of one such pipe [m3].");
    bind_record<plant::LoopLink>(module, "LoopLink", "Closes a loop between the far ends of two pipes.");
    bind_record<plant::WaterRise>(module, "WaterRise",
                                  "Water that closes the bore, given by how far it can be pushed up.");
    bind_record<plant::LegSlopes>(module, "LegSlopes", "Two nearly level legs that meet at a low point.");
    bind_record<plant::LowPoint>(module, "LowPoint", "Water that was left where piping dips.");
    bind_record<plant::SamplingPoint>(module, "SamplingPoint",
                                      "A spot where gas is analysed, other than at a vent.");
    bind_record<plant::Riser>(
        module, "Riser", "One dry system: piping behind one valve, with one fill passage and one supply.")
        .def_property_readonly("volume_m3", &plant::Riser::volume,
                               "Inside volume of all pipes, copies included [m3].")
        .def_property_readonly(
            "copies", [](const plant::Riser& r) { return Convert<std::vector<int>>::to_python(r.copies()); },
            "tuple of int: how often each pipe is there [count], its own count times those it hangs on.")
        .def_property_readonly(
            "pitches",
            [](const plant::Riser& r) { return Convert<std::vector<double>>::to_python(r.pitches()); },
            "tuple of float: rise over length of each pipe [1], given, from its elevations, or as usual.")
        .def(
            "pipe",
            [](const plant::Riser& r, const std::string& name) { return named(r.pipes, "pipe", name); },
            py::arg("name"),
            (std::string("pipe(self, name)\n--\n\nThe pipe of that name.\n\nReturns\n-------\nPipe") +
             find_doc_end)
                .c_str())
        .def(
            "vent",
            [](const plant::Riser& r, const std::string& name) { return named(r.vents, "vent", name); },
            py::arg("name"),
            (std::string("vent(self, name)\n--\n\nThe vent of that name.\n\nReturns\n-------\nVent") +
             find_doc_end)
                .c_str());
}

}  // namespace oxfade::python
