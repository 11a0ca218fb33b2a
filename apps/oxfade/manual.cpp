// The manual page, in the troff of man(7), from the definition of the command line.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <sstream>
#include <string>

#include "exit_status.hpp"
#include "options.hpp"
#include "output.hpp"
#include "oxfade/version.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

/// Backslashes and dashes as troff wants them; no line may begin with a control character.
std::string escaped(const std::string& text) {
    std::string result;
    for (const char c : text) {
        if (c == '\\') {
            result += "\\e";
        } else if (c == '-') {
            result += "\\-";
        } else if ((c == '.' || c == '\'') && (result.empty() || result.back() == '\n')) {
            result += std::string("\\&") + c;
        } else {
            result += c;
        }
    }
    return result;
}

std::string as_written(const std::string& text) { return ".EX\n" + escaped(text) + "\n.EE\n"; }

std::string option_entry(const CLI::Option& option) {
    std::string names;
    if (option.nonpositional()) {
        for (const std::string& name : option.get_snames()) names += (names.empty() ? "-" : ", -") + name;
        for (const std::string& name : option.get_lnames()) names += (names.empty() ? "--" : ", --") + name;
    } else {
        names = option.get_name(true);
    }
    std::string text = ".TP\n\\fB" + escaped(names) + "\\fR";
    if (option.get_expected_max() > 0 && !option.get_type_name().empty())
        text += " \\fI" + escaped(option.get_type_name()) + "\\fR";
    const std::string& said = option.get_description();
    return text + '\n' + escaped(said) + (said.ends_with('?') ? "\n" : ".\n");
}

std::string synopsis(const CLI::App& verb) {
    std::string text = ".br\n\\fBoxfade " + verb.get_name() + "\\fR";
    for (const CLI::Option* option : verb.get_options())
        if (!option->nonpositional()) text += " \\fI" + option->get_name(true) + "\\fR";
    return text + " [\\fIoptions\\fR]\n";
}

/// The example out of the verb's help: what stands between its heading and the next blank line.
std::string example(const CLI::App& verb) {
    std::istringstream lines(verb.get_footer());
    std::string text;
    std::getline(lines, text);  // the heading
    text.clear();
    for (std::string line; std::getline(lines, line) && !line.empty();)
        text += (text.empty() ? "" : "\n") + line;
    return text;
}

std::string verb_section(const CLI::App& verb) {
    std::string text = fmt::format(".SS oxfade {}\n{}.\n", verb.get_name(), escaped(verb.get_description()));
    for (const CLI::Option* option : verb.get_options()) text += option_entry(*option);
    return text + ".PP\nExample:\n" + as_written(example(verb));
}

/// What stands after the examples in the help of every verb: paths, keys, statuses.
std::string ending(const CLI::App& verb) {
    const std::string footer = verb.get_footer();
    const auto gap = footer.find("\n\n");
    return gap == std::string::npos ? std::string() : footer.substr(gap + 2);
}

std::string page(const CLI::App& program) {
    const auto verbs = program.get_subcommands([](const CLI::App*) { return true; });
    std::string text = fmt::format(".TH OXFADE 1 \"\" \"oxfade {}\" \"User Commands\"\n", version);
    text += ".SH NAME\noxfade \\- nitrogen purging of dry sprinkler piping, simulated\n.SH SYNOPSIS\n";
    for (const CLI::App* verb : verbs) text += synopsis(*verb);
    text += ".SH DESCRIPTION\n" + escaped(program.get_description()) + "\n";
    text +=
        ".PP\nA scenario is a TOML file that says what site, source and risers there are, every quantity "
        "with its "
        "unit. Standard output carries the result, standard error progress and messages.\n";
    text += ".SH VERBS\n";
    for (const CLI::App* verb : verbs) text += verb_section(*verb);
    text += ".SH PATHS, KEYS AND EXIT STATUS\n" + as_written(ending(*verbs.front()));
    text +=
        ".SH SAFETY\nNitrogen displaces the air people breathe. Results are predictions from the data given, "
        "not "
        "measurements and not an approval; local codes, the authority having jurisdiction and licensed "
        "practice "
        "govern.\n";
    return text;
}

}  // namespace

int manual(const Options& options) {
    write_standard_output(page(*options.program));
    return done;
}

}  // namespace oxfade::program
