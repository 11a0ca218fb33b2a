#include "source_folder.hpp"

std::filesystem::path oxfade::sample::source_folder() { return OXFADE_SOURCE_DIR; }
