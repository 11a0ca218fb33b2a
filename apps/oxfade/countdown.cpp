#include "countdown.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iostream>
#include <string>

#include "oxfade/report/units.hpp"

namespace oxfade::program {
namespace {

constexpr std::chrono::milliseconds patience{1000};
constexpr std::chrono::milliseconds interval{200};
constexpr std::size_t bar_width = 30;

}  // namespace

Countdown::Countdown(bool enabled) : enabled_(enabled), begin_(Clock::now()), next_(begin_ + patience) {}

Countdown::~Countdown() {
    if (shown_) std::cerr << "\r\033[K" << std::flush;
}

std::function<bool(std::size_t, std::size_t)> Countdown::callback() {
    if (!enabled_) return {};
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
    std::cerr << fmt::format("\r\033[K[{}{}] {} of {} runs, {}", std::string(filled, '#'),
                             std::string(bar_width - filled, ' '), done, all, left)
              << std::flush;
    shown_ = true;
    next_ = Clock::now() + interval;
}

}  // namespace oxfade::program
