#pragma once

#include <filesystem>

namespace oxfade::sample {

/// The folder of the sources these tests were built from. A function rather than a definition on every
/// compiler's command line: with a path there, no object could be shared between two checkouts.
std::filesystem::path source_folder();

}  // namespace oxfade::sample
