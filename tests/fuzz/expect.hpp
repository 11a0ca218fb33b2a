#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>

#include "oxfade/error.hpp"

/// What must hold for every input; libFuzzer keeps the input that aborts.
namespace oxfade::fuzz {

inline void expect(bool holds, const char* otherwise) {
    if (holds) return;
    std::fprintf(stderr, "finding: %s\n", otherwise);
    std::abort();
}

/// Each problem says something, on one line, without bytes that upset a terminal.
inline void expect_readable(const InputError& error) {
    expect(!error.problems().empty(), "an input error without a problem");
    for (const Problem& problem : error.problems()) {
        expect(!problem.what.empty(), "a problem that says nothing");
        for (const char c : to_string(problem))
            expect(static_cast<unsigned char>(c) >= 0x20 && c != 0x7f, "a control character in a message");
    }
}

/// A computation may give up, but only for a reason that is on this list.
inline void expect_told(const ComputationError& error) {
    const std::string what = error.what();
    const bool known =
        what.find("gave up after") != std::string::npos || what.find("flip for ever") != std::string::npos;
    if (!known) std::fprintf(stderr, "%s\n", what.c_str());
    expect(known, "a plant without problems that cannot be computed");
}

}  // namespace oxfade::fuzz
