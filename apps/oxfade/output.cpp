#include "output.hpp"

#include <cerrno>
#include <iostream>

#include "oxfade/report/files.hpp"
#include "oxfade/report/text.hpp"
#include "terminal.hpp"

namespace oxfade::program {
namespace {

void write_standard_output(const std::string& text) {
    errno = 0;
    try {
        report::write_output("-", text, std::cout);
    } catch (const FileError&) {
        if (errno != EPIPE) throw;
    }
}

void write_findings(const Result& result, const report::Units& units) {
    for (const outcome::Message& message : result.messages) {
        std::cerr << report::message_line(message, units) << '\n';
    }
}

}  // namespace

void deliver(const Result& result, const Options& options, const report::Units& units) {
    const bool json_out = options.json == "-";
    const bool csv_out = options.csv == "-";
    if (!options.json.empty() && !json_out) report::replace_file(options.json, result.json());
    if (!options.csv.empty() && !csv_out) report::replace_file(options.csv, result.csv());
    const bool text_out = !json_out && !csv_out && !options.quiet;
    if (json_out) write_standard_output(result.json());
    if (csv_out) write_standard_output(result.csv());
    if (text_out) write_standard_output(result.text());
    const bool seen = text_out && output_is_terminal();
    if (!options.quiet && !seen) write_findings(result, units);
}

}  // namespace oxfade::program
