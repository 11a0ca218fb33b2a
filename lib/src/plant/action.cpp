#include "oxfade/plant/action.hpp"

#include "oxfade/plant/plant.hpp"

namespace oxfade::plant {

std::string_view to_string(Deed deed) {
    switch (deed) {
        case Deed::drain:
            return "drain";
        case Deed::trip:
            return "trip";
        case Deed::outage:
            return "outage";
        case Deed::restore:
            return "restore";
        case Deed::shut:
            return "shut";
        case Deed::open:
            return "open";
        case Deed::set:
            return "set";
    }
    return "unknown";
}

Plant lasting(Plant plant, double duration) {
    plant.duration = duration;
    std::erase_if(plant.actions, [&](const Action& action) { return action.at >= duration; });
    return plant;
}

}  // namespace oxfade::plant
