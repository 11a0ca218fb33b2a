#pragma once

#include <functional>
#include <string>
#include <vector>

#include "options.hpp"
#include "oxfade/outcome/message.hpp"

namespace oxfade::program {

/// The forms a verb's result can take, each made only when wanted.
struct Result {
    std::function<std::string()> text, json, csv, html;
    std::vector<outcome::Message> messages;
};

/// Writes files first, then what goes to standard output, then findings to standard error unless the reader
/// has just seen them in the report. Throws FileError when something cannot be written. A reader of standard
/// output that has gone away (as `head` does) is no error.
void deliver(const Result& result, const Options& options, const report::Units& units);

/// Throws FileError when it cannot be written, unless its reader has gone away.
void write_standard_output(const std::string& text);

}  // namespace oxfade::program
