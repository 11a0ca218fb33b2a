#pragma once

#include <chrono>
#include <cstddef>
#include <functional>

#include "terminal.hpp"

namespace oxfade::program {

/// Shows on a terminal how many of many runs are done and how long the rest will take, once it has lasted a
/// second. Clears its line when it ends. Where nobody looks on, it says once that they are a long job.
class Countdown {
  public:
    explicit Countdown(Watcher watcher);
    Countdown(const Countdown&) = delete;
    Countdown& operator=(const Countdown&) = delete;
    ~Countdown();

    /// For the options of a study; it must not outlive this object.
    std::function<bool(std::size_t, std::size_t)> callback();

  private:
    using Clock = std::chrono::steady_clock;
    void show(std::size_t done, std::size_t all);

    Watcher watcher_;
    bool shown_ = false;
    bool begun_ = false;
    std::size_t first_ = 0;  ///< done when it began: taken from a store
    Clock::time_point begin_, next_;
};

}  // namespace oxfade::program
