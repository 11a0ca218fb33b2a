#include "progress.hpp"

#include <fmt/format.h>

#include <iostream>

#include "oxfade/report/units.hpp"

namespace oxfade::program {
namespace {

constexpr std::chrono::milliseconds patience{1000};
constexpr std::chrono::milliseconds interval{200};

}  // namespace

Progress::Progress(double duration, bool enabled)
    : duration_(duration), enabled_(enabled), next_(Clock::now() + patience) {}

Progress::~Progress() {
    if (shown_) std::cerr << "\r\033[K" << std::flush;
}

std::function<bool(double)> Progress::callback() {
    if (!enabled_) return {};
    return [this](double time) {
        if (Clock::now() >= next_) show(time);
        return true;
    };
}

void Progress::show(double time) {
    std::cerr << fmt::format("\r\033[K{:3.0f} %  {} of {}", 100.0 * time / duration_,
                             report::format_time(time), report::format_time(duration_))
              << std::flush;
    shown_ = true;
    next_ = Clock::now() + interval;
}

}  // namespace oxfade::program
