#pragma once

#include <string>
#include <variant>

namespace oxfade::plant {

/// Water closes the bore and can be pushed up by this much before gas bubbles through (model.md eq. 15).
struct WaterRise {
    double height = 0.0;  ///< [m], > 0
};

/// Two nearly level legs that meet at the low point, by height over length. Whether the water closes the bore
/// between them, and how far it can be pushed up either of them, follows from these, the bore of the pipe the
/// low point is on, and the volume of water.
struct LegSlopes {
    double before = 0.0;  ///< of the leg on the side gas comes from when the riser fills, in (0, 0.25]
    double behind = 0.0;  ///< of the leg on the other side, in (0, 0.25]
};

/// Water that was left where piping dips (model.md section 9).
struct LowPoint {
    std::string name;    ///< unique within the riser
    std::string on;      ///< a pipe: the water is on the link from it back to the pipe it hangs on
    double water = 0.0;  ///< volume at the start of the run [m3], > 0
    std::variant<WaterRise, LegSlopes> shape;
};

}  // namespace oxfade::plant
