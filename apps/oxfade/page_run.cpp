#include "page_run.hpp"

#include <filesystem>

#include "oxfade/engine/predict.hpp"

namespace oxfade::program {

report::PageRun page_run(const std::string& label, const plant::Plant& plant, double relative_tolerance,
                         bool resolve_friction) {
    engine::Options settings;
    settings.history_points = report::page_rows(plant);
    settings.relative_tolerance = relative_tolerance;
    settings.resolve_friction = resolve_friction;
    return {label, plant, engine::predict(plant, settings)};
}

std::string file_name(const std::string& path) { return std::filesystem::path(path).filename().string(); }

report::PageHead page_head(const Options& options, const report::Units& units) {
    return {file_name(options.file), units, options.friction};
}

}  // namespace oxfade::program
