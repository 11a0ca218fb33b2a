#pragma once

#include <pybind11/pybind11.h>

#include <atomic>
#include <chrono>
#include <exception>
#include <future>
#include <utility>

namespace oxfade::python {

namespace py = pybind11;

/// Runs `work` on another thread with the GIL released, and looks after Python meanwhile: every 50 ms signals
/// are handled, so that Ctrl-C raises KeyboardInterrupt, and `tick` is called. What either raises sets
/// `stop`, which `work` must heed, and is thrown once `work` has returned.
template <class Work, class Tick>
auto run_interruptibly(Work work, std::atomic<bool>& stop, Tick tick) {
    constexpr std::chrono::milliseconds interval{50};
    std::exception_ptr interruption;
    auto future = std::async(std::launch::async, std::move(work));
    const auto finished = [&] {
        const py::gil_scoped_release released;
        return future.wait_for(interval) == std::future_status::ready;
    };
    while (!finished()) {
        if (interruption) continue;
        try {
            if (PyErr_CheckSignals() != 0) throw py::error_already_set();
            tick();
        } catch (...) {
            interruption = std::current_exception();
            stop.store(true);
        }
    }
    if (interruption) std::rethrow_exception(interruption);
    return future.get();
}

}  // namespace oxfade::python
