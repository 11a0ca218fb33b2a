#pragma once

#include <chrono>
#include <functional>

#include "terminal.hpp"

namespace oxfade::program {

/// Shows on a terminal how far a run has come and how long it may still take, once it has lasted a second,
/// and clears its line when it ends. Where nobody looks on, it says once that a run is a long one.
class Progress {
  public:
    /// `duration` is the simulated time [s].
    Progress(double duration, Watcher watcher);
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    ~Progress();

    /// For engine::Options; it must not outlive this object.
    std::function<bool(double)> callback();

  private:
    using Clock = std::chrono::steady_clock;
    void show(double time);

    double duration_;
    Watcher watcher_;
    bool shown_ = false;
    Clock::time_point begin_, next_;
};

/// Says beforehand that a computation of about so long a time [s] is a long one, if it is.
void announce(double estimate, Watcher watcher);

}  // namespace oxfade::program
