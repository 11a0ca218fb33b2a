#include "oxfade/plant/leak_area.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "oxfade/flow/leak.hpp"

namespace oxfade::plant {
namespace {

struct AreaOf {
    double riser_volume;
    const Site& site;

    double operator()(const Orifice& hole) const { return hole.effective_area(); }
    double operator()(const LeakByTest& test) const {
        return flow::leak_area_from_test(riser_volume, test.from, test.from - test.loss, test.over,
                                         site.pressure, site.temperature.mean());
    }
    double operator()(const LeakByFlow& given) const {
        return flow::leak_area_from_flow(standard_moles(site.reference, given.flow), given.pressure,
                                         site.pressure, site.temperature.mean());
    }
};

}  // namespace

std::vector<double> leak_weights(const Riser& riser, LeakSpread spread) {
    constexpr double delivered = 21.0 * 0.3048;  // [m] between the joints of one pipe
    const bool by_volume = spread == LeakSpread::volume ||
                           std::any_of(riser.pipes.begin(), riser.pipes.end(),
                                       [](const Pipe& pipe) { return pipe.geometry() == nullptr; });
    const std::vector<int> copies = riser.copies();
    std::vector<double> weights;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        const Pipe& pipe = riser.pipes[p];
        double weight = pipe.volume();
        if (!by_volume) weight = pipe.geometry()->length;
        if (!by_volume && spread == LeakSpread::joints) weight = 2.0 + std::floor(weight / delivered);
        weights.push_back(weight * copies[p]);
    }
    const double sum = std::accumulate(weights.begin(), weights.end(), 0.0);
    for (double& weight : weights) weight /= sum;
    return weights;
}

double leak_area(const Leak& leak, double riser_volume, const Site& site) {
    return std::visit(AreaOf{riser_volume, site}, leak.size);
}

double leak_area(const Leak& leak, const Riser& riser, const Site& site) {
    return leak_area(leak, riser.volume(), site) * (leak.at ? riser.copies_of(*leak.at) : 1);
}

double leak_area(const Riser& riser, const Site& site) {
    double area = 0.0;
    for (const Leak& leak : riser.leaks) area += leak_area(leak, riser, site);
    return area;
}

}  // namespace oxfade::plant
