#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <ctime>
#include <exception>
#include <functional>
#include <limits>
#include <oxfade/oxfade.hpp>
#include <string>
#include <vector>

#include "cases.hpp"
#include "plain.hpp"

/// `oxfade_timing A|B|C|D`: processor time [s] and answers of the engine and of general solvers, a line of
/// JSON a case. `make_table` makes the table from it.
namespace {

using namespace oxfade;

double processor_time() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

double wall_time() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

/// Least times of some pieces of work, taken in turns, so that all of them see the same machine; short work
/// is repeated so that the clock can see it.
std::vector<double> least_times(const std::vector<std::function<void()>>& works) {
    std::vector<double> least(works.size(), std::numeric_limits<double>::infinity());
    double spent = 0.0;
    for (int round = 0; round < 15 && (round < 1 || spent < 6.0); ++round) {
        for (std::size_t k = 0; k < works.size(); ++k) {
            const double begin = processor_time();
            int times = 0;
            do {
                works[k]();
                ++times;
            } while (processor_time() - begin < 0.02);
            const double all = processor_time() - begin;
            least[k] = std::min(least[k], all / times);
            spent += all;
        }
    }
    return least;
}

double least_time(const std::function<void()>& work) { return least_times({work}).front(); }

struct Answer {
    double time_to_target = -1.0, oxygen = 0.0;
};

Answer answer_of(const outcome::Outcome& run) {
    Answer answer;
    bool met = true;
    for (const outcome::RiserOutcome& riser : run.risers) {
        met = met && riser.time_to_target.has_value();
        answer.time_to_target = std::max(answer.time_to_target, riser.time_to_target.value_or(-1.0));
        for (const outcome::PipeOutcome& pipe : riser.pipes)
            answer.oxygen =
                std::max(answer.oxygen, *std::max_element(pipe.oxygen.begin(), pipe.oxygen.end()));
    }
    if (!met) answer.time_to_target = -1.0;
    return answer;
}

engine::Options lean(double tolerance) {
    engine::Options options;
    options.history_points = 0;  // as the peers, who keep no history either
    options.relative_tolerance = tolerance;
    if (tolerance < 1e-8) options.event_tolerance = 1e-7;
    return options;
}

void print(const std::string& name, const char* solver, double seconds, const Answer& answer,
           const Answer& fine, long steps = 0) {
    const auto error = [](double a, double b) { return std::abs(a - b) / std::max(std::abs(b), 1e-12); };
    std::printf(
        "{\"case\": \"%s\", \"solver\": \"%s\", \"seconds\": %.9g, \"time_to_target\": %.9g, "
        "\"oxygen\": %.9g, \"time_error\": %.3g, \"oxygen_error\": %.3g, \"steps\": %ld}\n",
        name.c_str(), solver, seconds, answer.time_to_target, answer.oxygen,
        error(answer.time_to_target, fine.time_to_target), error(answer.oxygen, fine.oxygen), steps);
    std::fflush(stdout);
}

void engine_and_plain(const std::string& name, const plant::Plant& plant) {
    const Answer fine = answer_of(engine::predict(plant, lean(1e-9)));
    const auto run = [&](bool skip) {
        engine::Options options = lean(1e-6);
        options.skip_cycles = skip;
        return engine::predict(plant, options);
    };
    struct Peer {
        const char* name;
        std::function<peer::Answer()> solve;
    };
    std::vector<Peer> peers{{"plain Odeint", [&] { return peer::solve_with_odeint(plant, 1e-6); }}};
#ifdef OXFADE_CVODE
    peers.push_back(
        {"CVODE, Adams", [&] { return peer::solve_with_cvode(plant, 1e-6, peer::Formulas::adams); }});
    peers.push_back({"CVODE, BDF", [&] { return peer::solve_with_cvode(plant, 1e-6, peer::Formulas::bdf); }});
#endif
    std::vector<std::function<void()>> works{[&] { run(true); }, [&] { run(false); }};
    for (const Peer& peer : peers) works.emplace_back([&peer] { peer.solve(); });
    const std::vector<double> times = least_times(works);
    print(name, "oxfade", times[0], answer_of(run(true)), fine);
    print(name, "oxfade, every cycle", times[1], answer_of(run(false)), fine);
    for (std::size_t k = 0; k < peers.size(); ++k) {
        const peer::Answer answer = peers[k].solve();
        print(name, peers[k].name, times[2 + k], {answer.time_to_target, answer.worst_oxygen}, fine);
    }
}

void compartments() {
    for (const bool chain : {true, false}) {
        for (const int count : {10, 100, 1000, 10000}) {
            const plant::Plant plant = cases::many_compartments(count, chain);
            const outcome::Outcome run = engine::predict(plant, lean(1e-6));
            const Answer answer = answer_of(run);
            // The reference of the largest would take longer than all the rest.
            const Answer fine = count > 1000 ? answer : answer_of(engine::predict(plant, lean(1e-8)));
            print((chain ? "C chain " : "C tree ") + std::to_string(count), "oxfade",
                  least_time([&] { engine::predict(plant, lean(1e-6)); }), answer, fine, run.effort.steps);
        }
    }
}

void variations() {
    const std::vector<plant::Plant> plants = cases::variations(10000);
    engine::EnsembleOptions options;
    std::vector<engine::Trial> trials;
    const plant::Plant one = cases::one_riser(0.05);
    double wall = std::numeric_limits<double>::infinity();
    const std::vector<double> times = least_times({[&] {
                                                       const double begin = wall_time();
                                                       trials = engine::predict_many(plants, options);
                                                       wall = std::min(wall, wall_time() - begin);
                                                   },
                                                   [&] { peer::solve_with_odeint(one, 1e-6); }});
    options.run = lean(1e-9);
    const std::vector<engine::Trial> fine = engine::predict_many(plants, options);
    double time_error = 0.0, oxygen_error = 0.0;
    for (std::size_t k = 0; k < plants.size(); ++k) {
        const double oxygen = fine[k].risers[0].worst_oxygen;
        oxygen_error = std::max(oxygen_error, std::abs(trials[k].risers[0].worst_oxygen - oxygen) / oxygen);
        if (std::isnan(trials[k].time_to_target) != std::isnan(fine[k].time_to_target)) time_error = 1.0;
        if (!std::isnan(fine[k].time_to_target)) {
            time_error =
                std::max(time_error, std::abs(trials[k].time_to_target / fine[k].time_to_target - 1.0));
        }
    }
    std::printf(
        "{\"case\": \"D\", \"solver\": \"oxfade\", \"seconds\": %.9g, \"wall\": %.9g, \"plain\": %.9g, "
        "\"time_error\": %.3g, \"oxygen_error\": %.3g}\n",
        times[0], wall, times[1], time_error, oxygen_error);
}

void run(const std::string& which) {
    if (which == "A") {
        for (const int mil : {30, 50, 80})
            engine_and_plain("A 0.0" + std::to_string(mil / 10) + " in", cases::one_riser(1e-3 * mil));
    } else if (which == "B") {
        engine_and_plain("B", cases::four_risers());
    } else if (which == "C") {
        compartments();
    } else {
        variations();
    }
}

}  // namespace

int main(int argc, char** argv) {
    try {
        for (int k = 1; k < argc; ++k) run(argv[k]);
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
    return 0;
}
