#include "oxfade/plant/leak_area.hpp"

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

double leak_area(const Leak& leak, double riser_volume, const Site& site) {
    return std::visit(AreaOf{riser_volume, site}, leak.size);
}

}  // namespace oxfade::plant
