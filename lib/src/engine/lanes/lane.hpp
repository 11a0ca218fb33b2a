#pragma once

/// Numbers that come by eight, as the kernels use them.
#include "flow/lane.hpp"

namespace oxfade::engine::OXFADE_ISA {

using flow::OXFADE_ISA::any;
using flow::OXFADE_ISA::broadcast;
using flow::OXFADE_ISA::Lane;
using flow::OXFADE_ISA::lanes;
using flow::OXFADE_ISA::least;
using flow::OXFADE_ISA::load;
using flow::OXFADE_ISA::magnitude;
using flow::OXFADE_ISA::Mask;
using flow::OXFADE_ISA::most;
using flow::OXFADE_ISA::root;
using flow::OXFADE_ISA::select;
using flow::OXFADE_ISA::store;
using flow::OXFADE_ISA::whole;

}  // namespace oxfade::engine::OXFADE_ISA
