#include "countdown.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <string>

#include "oxfade/report/units.hpp"

namespace oxfade::program {
namespace {

constexpr std::chrono::milliseconds interval{200};
constexpr std::size_t bar_width = 30;

}  // namespace

Countdown::Countdown(Watcher watcher)
    : watcher_(watcher), begin_(Clock::now()), next_(begin_ + patience_with(watcher)) {}

Countdown::~Countdown() {
    if (shown_) std::cerr << "\r\033[K" << std::flush;
}

std::function<bool(std::size_t, std::size_t)> Countdown::callback() {
    if (watcher_ == Watcher::nobody) return {};
    return [this](std::size_t done, std::size_t all) {
        if (!begun_) first_ = done;
        begun_ = true;
        if (Clock::now() >= next_) show(done, all);
        return true;
    };
}

void Countdown::show(std::size_t done, std::size_t all) {
    const double part = static_cast<double>(done) / static_cast<double>(std::max<std::size_t>(all, 1));
    const std::size_t filled = std::min(bar_width, static_cast<std::size_t>(part * bar_width));
    std::string left = "time left not known yet";
    if (done > first_) {
        const std::chrono::duration<double> spent = Clock::now() - begin_;
        const double each = spent.count() / static_cast<double>(done - first_);
        left = report::format_time(std::max(1.0, each * static_cast<double>(all - done))) + " left";
    }
    if (watcher_ == Watcher::log) {
        std::cerr << fmt::format("oxfade: a long job, {} of {} runs done; {}\n", done, all, left);
        next_ = Clock::time_point::max();
        return;
    }
    std::cerr << fmt::format("\r\033[K[{}{}] {} of {} runs, {}", std::string(filled, '#'),
                             std::string(bar_width - filled, ' '), done, all, left)
              << std::flush;
    shown_ = true;
    next_ = Clock::now() + interval;
}

}  // namespace oxfade::program
