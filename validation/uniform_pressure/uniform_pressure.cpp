// Holds the assumption of one pressure a riser (model.md section 4) against friction-resolved links
// (model.md eq. 13) over ordinary and unfavourable piping; prints the table that is committed beside this
// folder.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <oxfade/flow/orifice.hpp>
#include <oxfade/flow/pipe_friction.hpp>
#include <oxfade/gas/transport.hpp>
#include <oxfade/oxfade.hpp>
#include <string>
#include <vector>

namespace {

using namespace oxfade;

constexpr double inch = 0.0254, foot = 0.3048, psi = 6894.757293168, gallon = 3.785411784e-3;
constexpr double cubic_foot_per_hour = 0.028316846592 / 3600.0, day = 86400.0;
constexpr double temperature = 293.15;

struct Run {
    const char* nominal;
    double feet;
};

/// One riser: a main, a branch from its far end, a vent at the end of that.
struct Case {
    Run main, branch;
    double air;        ///< what the source brings while filling [ft3/h]
    double vent_inch;  ///< diameter of the vent
    double days;
    enum class Feed { generator, restricted, cylinders } feed = Feed::generator;
};

using Feed = Case::Feed;

struct Group {
    const char *title, *about;
    std::vector<Case> cases;
};

plant::Pipe pipe(const char* name, const Run& run, int cells) {
    return {
        name,  {},  plant::Cylinder{plant::find_pipe_size(run.nominal, "40").value().bore(), run.feet * foot},
        cells, 0.0, {},
        1,     {}};
}

plant::Generator generator(const Case& c, double outside) {
    plant::Generator source;
    source.purity = 0.985;
    source.air_flow = c.air * cubic_foot_per_hour;
    source.nitrogen_flow = 0.2 * source.air_flow;
    source.air_below = outside + 75.0 * psi;
    source.receiver = {60.0 * gallon, outside + 85.0 * psi, outside + 105.0 * psi, outside + 105.0 * psi,
                       plant::InitialGas::air};
    return source;
}

double molar_flow(double cubic_feet_per_hour) {
    return plant::standard_moles(plant::Reference{}, cubic_feet_per_hour * cubic_foot_per_hour);
}

/// A fill passage that lets just the case's flow through as the fill ends.
plant::Orifice passage(const Case& c, double set_pressure, double delivery) {
    const gas::Mixture nitrogen = gas::nitrogen_of_purity(0.985);
    const double per_area =
        flow::orifice_flow(1.0, delivery, set_pressure, temperature, nitrogen.molar_mass());
    return {std::sqrt(molar_flow(c.air) / per_area * 4.0 / (std::numbers::pi * 0.8)), 0.8};
}

plant::Plant plant_of(const Case& c) {
    plant::Plant plant;
    plant.duration = c.days * day;
    plant.target = 0.97;
    const auto gauge = [&](double value) { return plant.site.pressure + value * psi; };
    plant::Riser riser;
    riser.name = "riser";
    riser.set_pressure = gauge(30.0);
    riser.fill = {0.5 * inch, 0.8};
    if (c.feed != Feed::generator) riser.fill = passage(c, riser.set_pressure, gauge(105.0));
    riser.supply = plant::Regulator{{0.125 * inch, 0.8}};
    riser.pipes = {pipe("main", c.main, 10), pipe("branch", c.branch, 5)};
    riser.vents = {{"end vent", "branch", {c.vent_inch * inch, 0.8}, plant::OpenAlways{}, false}};
    plant.risers.push_back(riser);
    if (c.feed == Feed::cylinders) {
        plant.source = plant::Cylinders{0.985, 100.0, gauge(105.0)};
    } else {
        plant.source = generator(c, gauge(0.0));
    }
    return plant;
}

double reynolds(const Case& c, double flow) {
    const gas::Mixture nitrogen = gas::nitrogen_of_purity(0.985);
    return oxfade::flow::reynolds_number(flow, nitrogen.molar_mass(),
                                         plant::find_pipe_size(c.main.nominal, "40").value().bore(),
                                         gas::viscosity(nitrogen, temperature));
}

std::string percent(double share) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2f %%", 100.0 * share);
    return text;
}

struct Sum {
    int cases = 0, off = 0, said = 0, missed = 0, needless = 0;
    double worst = 0.0;
};

void row(const Case& c, Sum& sum) {
    const plant::Plant plant = plant_of(c);
    engine::Options options;
    options.relative_tolerance = 1e-7;
    options.event_tolerance = 1e-6;
    options.history_points = 0;
    const outcome::Outcome uniform = engine::predict(plant, options);
    options.resolve_friction = true;
    const outcome::Outcome resolved = engine::predict(plant, options);
    const outcome::RiserOutcome& a = uniform.risers[0];
    const outcome::RiserOutcome& b = resolved.risers[0];
    const outcome::Unevenness estimate = outcome::unevenness(plant, 0);
    if (!a.fill_time || !b.fill_time || !a.time_to_target || !b.time_to_target) {
        std::printf("| %s in, %g ft | not reached |\n", c.main.nominal, c.main.feet);
        return;
    }
    const double fill = *a.fill_time / *b.fill_time - 1.0,
                 target = *a.time_to_target / *b.time_to_target - 1.0;
    const double off = std::max(std::abs(fill), std::abs(target));
    const bool said = estimate.worst() > outcome::uneven_beyond;
    ++sum.cases;
    sum.off += off > 0.005;
    sum.said += said;
    sum.missed += off > 0.005 && !said;
    sum.needless += said && off <= 0.005;
    sum.worst = std::max(sum.worst, off);
    const double purge = b.vented / plant.duration;
    std::printf(
        "| %s in, %g ft + %s in, %g ft | %g | %.3f | %.0f | %.0f | %.1f | %s | %.3f | %s | %s | %s | %s |\n",
        c.main.nominal, c.main.feet, c.branch.nominal, c.branch.feet, c.air, c.vent_inch,
        reynolds(c, molar_flow(c.air)), reynolds(c, purge), *b.fill_time, percent(fill).c_str(),
        *b.time_to_target / 3600.0, percent(target).c_str(), percent(estimate.fill).c_str(),
        percent(estimate.vents).c_str(), said ? "yes" : "no");
}

void print(const Group& group) {
    std::printf("\n## %s\n\n", group.title);
    std::printf("%s\n\n", group.about);
    std::puts(
        "| main + branch | flow, ft3/h | vent, in | Re fill | Re purge | fill, s | uniform off by | target, "
        "h "
        "|"
        " uniform off by | estimate, fill | estimate, vent | message |");
    std::puts("|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|---:|---|");
    Sum sum;
    for (const Case& c : group.cases) row(c, sum);
    std::printf(
        "\n%d of %d are off by more than 0.50 %%, the worst by %s. The message comes up for %d, %d of them"
        " without need, and is missing for %d.\n",
        sum.off, sum.cases, percent(sum.worst).c_str(), sum.said, sum.needless, sum.missed);
}

std::vector<Group> groups() {
    Group ordinary{"Ordinary piping",
                   "A generator with a 60 gal receiver at 105 psig and a fill passage of 1/2 in.",
                   {}},
        small{"Mains of 1 and 2 in",
              "The same behind a fill passage that lets just the flow through from 105 psig.",
              {}},
        thin{"Unfavourable: long and thin",
             "Nitrogen from cylinders at 105 psig, through such a passage.",
             {}};
    for (const double feet : {100.0, 200.0, 300.0}) {
        for (const double air : {700.0, 1500.0}) {
            ordinary.cases.push_back({{"6", feet}, {"4", 60.0}, air, 0.04, 12.0});
            ordinary.cases.push_back({{"4", feet}, {"2", 60.0}, air, 0.03, 9.0});
            small.cases.push_back({{"2", feet}, {"1-1/4", 40.0}, air, 0.03, 4.0, Feed::restricted});
            small.cases.push_back({{"1", feet}, {"1", 20.0}, air, 0.02, 2.0, Feed::restricted});
        }
    }
    for (const char* nominal : {"1/2", "3/4", "1"}) {
        for (const double feet : {300.0, 1000.0}) {
            thin.cases.push_back({{nominal, feet}, {nominal, 20.0}, 20.0, 0.01, 4.0, Feed::cylinders});
            thin.cases.push_back({{nominal, feet}, {nominal, 20.0}, 700.0, 0.04, 2.0, Feed::cylinders});
        }
    }
    return {ordinary, small, thin};
}

}  // namespace

int main() {
    std::puts("# One pressure a riser, or friction in every link\n");
    std::puts(
        "Written by `oxfade_uniform_pressure` (validation/uniform_pressure); not to be edited. A test fails "
        "when"
        " it says\nsomething else than the code computes now.\n");
    std::puts(
        "Each riser is a main and a branch from its far end (schedule 40, level, 10 and 5 cells), filled "
        "with air to"
        " 30 psig and\npurged to 97 % with 98.5 % nitrogen through a vent at the end of the branch. *Off by* "
        "is"
        " what one pressure a riser gives\nover what friction in every link gives, less 1. *Flow* is what the"
        " source brings while filling; Reynolds numbers are\nthose of that flow and of the vent's at the "
        "main's"
        " inlet. The *estimates* are made without a run; beyond 0.5 % the\nfinding `pressure-not-uniform` "
        "comes"
        " up.");
    for (const Group& group : groups()) print(group);
    return 0;
}
