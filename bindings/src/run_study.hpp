#pragma once

#include <pybind11/pybind11.h>

#include <atomic>
#include <cstddef>
#include <functional>
#include <string>

#include "interruptible.hpp"
#include "model.hpp"

namespace oxfade::python {

/// What a study is given to report how far it is: (runs done, of all).
using StudyProgress = std::function<bool(std::size_t, std::size_t)>;

/// Runs `work(StudyProgress)` as run_interruptibly does, and tells Python's `progress` of it.
template <class Work>
auto run_study(const py::object& progress, Work work) {
    std::atomic<bool> stop{false};
    std::atomic<std::size_t> done{0}, all{0};
    const StudyProgress heed = [&](std::size_t finished, std::size_t of) {
        done.store(finished);
        all.store(of);
        return !stop.load();
    };
    return run_interruptibly([&] { return work(heed); }, stop,
                             [&] {
                                 if (!progress.is_none()) progress(done.load(), all.load());
                             });
}

/// What a study has to say, as the program says it: `reports` and `documents` (JSON) by system of units, and
/// the plant's own `units`.
template <class Report, class Document>
py::dict study_texts(const Model& model, const Report& report, const Document& document) {
    py::dict reports, documents;
    for (const char* system : {"si", "us"}) {
        const report::Units units = report_units(model, std::string(system));
        reports[system] = report(units);
        documents[system] = document(units);
    }
    py::dict texts;
    texts["reports"] = reports;
    texts["documents"] = documents;
    texts["units"] = model.units == scenario::UnitSystem::si ? "si" : "us";
    return texts;
}

}  // namespace oxfade::python
