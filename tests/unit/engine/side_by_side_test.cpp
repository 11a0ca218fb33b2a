#include "engine/side_by_side.hpp"

#include <gtest/gtest.h>

#include <array>
#include <atomic>
#include <stdexcept>
#include <thread>

namespace {

using namespace oxfade;
using engine::Task;

TEST(SideBySide, DoesEveryTaskOnceAndTheFirstInTheCallersThread) {
    for (const unsigned threads : {1U, 2U, 7U}) {
        engine::Options options;
        options.threads = threads;
        std::array<std::atomic<int>, 5> done{};
        std::thread::id first;
        std::vector<Task> tasks;
        for (std::size_t k = 0; k < done.size(); ++k) {
            tasks.emplace_back([&, k](const engine::Options&) {
                if (k == 0) first = std::this_thread::get_id();
                ++done[k];
            });
        }
        engine::side_by_side(options, tasks);
        for (const auto& times : done) EXPECT_EQ(times.load(), 1) << threads;
        EXPECT_EQ(first, std::this_thread::get_id());
    }
    engine::side_by_side({}, {});
}

TEST(SideBySide, WhatOneThrowsStopsTheOthersAndIsHeard) {
    engine::Options options;
    options.threads = 2;
    std::atomic<bool> stopped{false};
    const Task waits = [&](const engine::Options& own) {
        while (own.progress(0.0)) std::this_thread::yield();
        stopped = true;
        throw std::runtime_error("stopped");
    };
    const Task fails = [](const engine::Options&) { throw std::logic_error("the reason"); };
    for (const auto& tasks : {std::vector<Task>{waits, fails}, std::vector<Task>{fails, waits}}) {
        stopped = false;
        EXPECT_THROW(engine::side_by_side(options, tasks), std::logic_error);
    }
    EXPECT_THROW(engine::side_by_side(options, {waits, fails}), std::logic_error);
    EXPECT_TRUE(stopped);
}

TEST(SideBySide, OnlyTheCallersThreadAsksWhetherToGoOn) {
    engine::Options options;
    options.threads = 3;
    std::atomic<bool> elsewhere{false};
    int calls = 0;
    options.progress = [&, here = std::this_thread::get_id()](double) {
        if (std::this_thread::get_id() != here) elsewhere = true;
        return ++calls < 5;
    };
    const Task waits = [](const engine::Options& own) {
        while (own.progress(1.0)) std::this_thread::yield();
        throw std::runtime_error("stopped");
    };
    EXPECT_THROW(engine::side_by_side(options, {waits, waits, waits}), std::runtime_error);
    EXPECT_GE(calls, 5);
    EXPECT_FALSE(elsewhere);
}

}  // namespace
