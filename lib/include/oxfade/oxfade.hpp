#pragma once

/// Everything a user of the library needs: read or build a plant, predict, report.
#include "oxfade/engine/cost.hpp"
#include "oxfade/engine/ensemble.hpp"
#include "oxfade/engine/predict.hpp"
#include "oxfade/error.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/evenness.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/low_places.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/version.hpp"
