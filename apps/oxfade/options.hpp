#pragma once

#include <string>
#include <vector>

#include "draft_options.hpp"
#include "oxfade/report/units.hpp"
#include "oxfade/scenario/read.hpp"
#include "study_options.hpp"

namespace CLI {
class App;
}

namespace oxfade::program {

/// What the command line says, the same for every verb.
struct Options {
    std::string file;
    std::string json;               ///< path, "-" for standard output, empty for none
    std::string csv;                ///< likewise
    std::string html;               ///< likewise
    std::vector<std::string> sets;  ///< "key=value" as typed
    std::string units;              ///< "si", "us", or empty for the file's own
    bool quiet = false;
    bool friction = false;     ///< of predict
    bool skip_extras = false;  ///< likewise
    bool remedies = false;     ///< likewise
    StudyOptions study;
    DraftOptions draft;
    std::string shell;                  ///< of completion
    const CLI::App* program = nullptr;  ///< the command line's own definition
};

/// Adds FILE and the options that every verb has; --csv with this description, if any, and --html if the verb
/// has a page.
void add_options(CLI::App& verb, Options& options, const char* csv, bool html);

/// Adds --units.
void add_units(CLI::App& verb, Options& options, const std::string& purpose);

/// What predict takes beside.
void add_predict_options(CLI::App& verb, Options& options);

/// What --set asks for. Throws InputError with every setting that is no KEY=VALUE.
std::vector<scenario::Override> overrides_of(const Options& options);

/// Throws FileError for paths that cannot be written, InputError when two results want standard output.
void check_outputs(const Options& options);

/// The scenario with its overrides, and the units its results are to be printed in.
struct Loaded {
    scenario::Scenario scenario;
    report::Units units;
};
Loaded load(const Options& options);

}  // namespace oxfade::program
