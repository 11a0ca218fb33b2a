#include "draft_options.hpp"

#include <CLI/CLI.hpp>

#include "options.hpp"

namespace oxfade::program {
namespace {

const char* type_of(scenario::AnswerKind kind) {
    switch (kind) {
        case scenario::AnswerKind::text:
            return "TEXT";
        case scenario::AnswerKind::source:
            return "KIND";
        case scenario::AnswerKind::system:
            return "NAME:PIPING";
        case scenario::AnswerKind::branch_lines:
            return "LINES|none";
        case scenario::AnswerKind::leak:
            return "TEST|none";
        case scenario::AnswerKind::vent:
            return "LENGTH|none";
        case scenario::AnswerKind::quantity:
            return "QUANTITY";
    }
    return "";
}

}  // namespace

scenario::Answers DraftOptions::answers() const {
    scenario::Answers answers(given.begin(), given.end());
    for (const std::string& line : systems) {
        std::string& lines = answers["system"];
        lines += (lines.empty() ? "" : "\n") + line;
    }
    std::erase_if(answers, [](const auto& answer) { return answer.second.empty(); });
    return answers;
}

void add_draft_options(CLI::App& verb, Options& options) {
    DraftOptions& draft = options.draft;
    verb.add_option("FILE", options.file, "Scenario file to write")->required()->type_name("");
    add_units(verb, options, "Units of the usual answers (default: us)");
    verb.add_option("--takeoff", draft.takeoff,
                    "Take the piping from a table of pipes (CSV); prints a summary")
        ->type_name("PATH");
    verb.add_option("--tolerance", draft.tolerance,
                    "Distance within which ends in the takeoff meet (default: 50 mm)")
        ->type_name("LENGTH");
    verb.add_flag("--defaults", draft.defaults, "Ask nothing; take the usual answers");
    verb.add_flag("--force", draft.force, "Replace the file if it is there already");
    verb.add_flag("--quiet", options.quiet, "Print nothing but questions and errors");
    for (const scenario::Question& question : scenario::draft_questions()) {
        const std::string name = "--" + std::string(question.key), asks(question.asks);
        if (question.kind == scenario::AnswerKind::system) {
            verb.add_option(name, draft.systems, asks + "; repeatable")
                ->type_name(type_of(question.kind))
                ->allow_extra_args(false);
        } else {
            verb.add_option(name, draft.given[std::string(question.key)], asks)
                ->type_name(type_of(question.kind));
        }
    }
}

}  // namespace oxfade::program
