#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "oxfade/study/sweep.hpp"

namespace CLI {
class App;
}

namespace oxfade::program {

struct Options;

/// What only studies are told, as typed; quantities are read once the scenario is there.
struct StudyOptions {
    std::vector<std::string> more_files;
    std::vector<std::string> vary, spread;
    std::size_t runs = study::SweepOptions{}.runs;
    std::uint64_t seed = study::SweepOptions{}.seed;
    std::string within;
    std::string results;
    std::string readings, measured;
    std::string drills, flows, by, margin;
};

void add_compare_options(CLI::App& verb, Options& options);
void add_sweep_options(CLI::App& verb, Options& options);
void add_size_options(CLI::App& verb, Options& options);
void add_fit_options(CLI::App& verb, Options& options);
void add_commission_options(CLI::App& verb, Options& options);

}  // namespace oxfade::program
