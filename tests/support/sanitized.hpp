#pragma once

namespace oxfade::sample {

/// Under the sanitizers everything takes ten times as long: there are fewer random plants then.
#ifdef OXFADE_SANITIZED
inline constexpr bool sanitized = true;
#else
inline constexpr bool sanitized = false;
#endif

}  // namespace oxfade::sample
