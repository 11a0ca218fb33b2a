#include "progress.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <string>

#include "oxfade/report/units.hpp"

namespace oxfade::program {
namespace {

constexpr std::chrono::milliseconds refresh{200};

}  // namespace

void announce(double estimate, Watcher watcher) {
    constexpr double long_time = 10.0;
    if (watcher == Watcher::nobody || estimate < long_time) return;
    std::cerr << fmt::format("oxfade: this may take about {} of computing\n", report::format_time(estimate));
}

Progress::Progress(double duration, Watcher watcher)
    : duration_(duration), watcher_(watcher), begin_(Clock::now()), next_(begin_ + patience_with(watcher)) {}

Progress::~Progress() {
    if (shown_) std::cerr << "\r\033[K" << std::flush;
}

std::function<bool(double)> Progress::callback() {
    if (watcher_ == Watcher::nobody) return {};
    return [this](double time) {
        if (Clock::now() >= next_) show(time);
        return true;
    };
}

void Progress::show(double time) {
    const double part = time / duration_;
    const std::chrono::duration<double> spent = Clock::now() - begin_;
    const std::string left =
        part > 0.0
            ? "about " + report::format_time(std::max(1.0, spent.count() * (1.0 / part - 1.0))) + " left"
            : "time left not known yet";
    if (watcher_ == Watcher::person) {
        std::cerr << fmt::format("\r\033[K{:3.0f} %  {} of {}, {}", 100.0 * part, report::format_time(time),
                                 report::format_time(duration_), left)
                  << std::flush;
        shown_ = true;
        next_ = Clock::now() + refresh;
    } else {
        std::cerr << fmt::format("oxfade: a long run, {:.2g} % of {} simulated in {}; {}\n", 100.0 * part,
                                 report::format_time(duration_), report::format_time(spent.count()), left);
        next_ = Clock::time_point::max();
    }
}

}  // namespace oxfade::program
