#pragma once

#include <chrono>
#include <functional>

namespace oxfade::program {

/// Shows on a terminal how far a run has come, once it has lasted a second. Clears its line when it ends.
class Progress {
  public:
    /// `duration` is the simulated time [s]; a disabled one stays silent.
    Progress(double duration, bool enabled);
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    ~Progress();

    /// For engine::Options; it must not outlive this object.
    std::function<bool(double)> callback();

  private:
    using Clock = std::chrono::steady_clock;
    void show(double time);

    double duration_;
    bool enabled_;
    bool shown_ = false;
    Clock::time_point next_;
};

}  // namespace oxfade::program
