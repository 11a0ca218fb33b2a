#include <CLI/CLI.hpp>
#include <array>
#include <csignal>
#include <exception>
#include <iostream>
#include <memory>
#include <sstream>
#include <string>

#include "completion.hpp"
#include "draft_options.hpp"
#include "errors.hpp"
#include "exit_status.hpp"
#include "oxfade/version.hpp"
#include "study_options.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

/// What a verb is called, does, and how it is used.
struct Verb {
    const char* name;
    const char* purpose;
    const char* example;
    const char* csv;  ///< what --csv writes; null for a verb without
    int (*run)(const Options&);
    bool html = false;                                ///< has a page
    void (*add_more)(CLI::App&, Options&) = nullptr;  ///< options of this verb alone
    bool reads_scenario = true;                       ///< takes what all verbs with a scenario take
};

constexpr std::array verbs{
    Verb{"draft", "Ask what matters and write a first scenario file",
         "  oxfade draft plant.toml\n"
         "  oxfade draft plant.toml --defaults \\\n"
         "      --system \"Dock: 4 in x 150 ft; 20 lines of 1 in x 40 ft\"\n"
         "      asks for piping, source and vents and writes an annotated file to go on\n"
         "      with; the second asks nothing and marks in it what it has assumed\n"
         "  oxfade draft plant.toml --takeoff pipes.csv\n"
         "      takes the piping from a table of pipes, and prints sums to check it by",
         nullptr, draft, false, add_draft_options, false},
    Verb{"predict", "Simulate a plant: when is the target met?",
         "  oxfade predict cold_store.toml --csv fade.csv --set target=\"97 %\"\n"
         "      simulates cold_store.toml with another target, prints the report and\n"
         "      writes the time series for a spreadsheet",
         "Write the time series as CSV", predict, true, add_predict_options},
    Verb{"check", "Validate a file, show its volumes and findings",
         "  oxfade check cold_store.toml --units si\n"
         "      lists every mistake in the file, or else the piping's volumes in litres\n"
         "      and what can be said before a simulation",
         nullptr, check},
    Verb{"compare", "Set strategies side by side",
         "  oxfade compare cold_store.toml larger_vents.toml\n"
         "      runs both and shows days, fill, gas, energy and findings of each, what\n"
         "      their files do differently, and which is best at what",
         nullptr, compare, true, add_compare_options},
    Verb{"sweep", "Parameter sweep and uncertainty",
         "  oxfade sweep cold_store.toml --runs 2000 \\\n"
         "      --spread source.purity=\"normal(99.5 %, 0.1 %)\" \\\n"
         "      --spread riser.Dock.leak.0.loss=\"uniform(0.5 psi, 2 psi)\"\n"
         "      gives the days to target that 10, 50 and 90 % of plants keep, and\n"
         "      which of the two unknowns matters more",
         "Write every run as CSV", sweep, true, add_sweep_options},
    Verb{"size", "Find the smallest source and vents that do",
         "  oxfade size cold_store.toml --by \"3 d\" --drills \"0.3 mm, 0.4 mm, 0.5 mm\"\n"
         "      finds the smallest source, and a drill for the vents of each system,\n"
         "      that meet the target by then with a tenth of every limit to spare",
         "Write the trade-off curve as CSV", size, false, add_size_options},
    Verb{"fit", "Say from readings what is wrong, and forecast",
         "  oxfade fit cold_store.toml readings.csv\n"
         "      with readings.csv: time,riser,pipe,oxygen,pressure\n"
         "                         1 d,Dock,cross main,1.9 %,28.1 psig\n"
         "      says which fault explains the readings best, and when the target is met",
         nullptr, fit, true, add_fit_options},
    Verb{"commission", "Print the acceptance sheet, and judge it filled in",
         "  oxfade commission cold_store.toml --csv sheet.csv\n"
         "  oxfade commission cold_store.toml --measured sheet.csv\n"
         "      writes the sheet with expected times and readings; once its last column\n"
         "      is filled in, names the likely cause of what is off, and its size",
         "Write the sheet as CSV, to fill in", commission, true, add_commission_options},
    Verb{"manual", "Print the manual page, made from this help",
         "  oxfade manual | man -l -\n"
         "      shows it; oxfade manual > oxfade.1 keeps it",
         nullptr, manual, false, nullptr, false},
    Verb{"completion", "Print what makes a shell complete command lines",
         "  oxfade completion bash > oxfade.bash; source oxfade.bash\n"
         "      completes verbs and options in this session; also for zsh and fish",
         nullptr, completion, false, add_completion_options, false},
};

constexpr const char* closing =
    "A PATH of - is standard output. KEY is the dotted path of a key in the file:\n"
    "  --set riser.North.vent.'end vent'.diameter=\"0.05 in\"\n\n"
    "Exit status:\n"
    "  0  done\n"
    "  1  done, but a target or a limit is not met\n"
    "  2  the command line or an input cannot be used\n"
    "  3  the computation failed";

std::string all_examples() {
    std::string text = "Examples:\n";
    for (const Verb& verb : verbs) text += std::string(verb.example) + '\n';
    return text + '\n' + closing;
}

bool is_verb(const std::string& word) {
    for (const Verb& verb : verbs) {
        if (word == verb.name) return true;
    }
    return false;
}

/// The parser's own words for a mistyped verb speak of stray arguments.
bool refuse_unknown_verb(int argc, char** argv) {
    if (argc < 2 || argv[1][0] == '-' || is_verb(argv[1])) return false;
    std::string known;
    for (const Verb& verb : verbs) known += (known.empty() ? "" : ", ") + std::string(verb.name);
    print_error(("there is no verb '" + std::string(argv[1]) + "'; there are: " + known).c_str());
    return true;
}

/// Help of at most 80 columns: long descriptions go on below themselves.
class Help : public CLI::Formatter {
  public:
    std::string make_option_desc(const CLI::Option* option) const override {
        const std::size_t columns = 80 - get_column_width();
        std::string text, line;
        std::istringstream words(option->get_description());
        for (std::string word; words >> word;) {
            if (!line.empty() && line.size() + 1 + word.size() > columns) {
                text += line + '\n';
                line.clear();
            }
            line += (line.empty() ? "" : " ") + word;
        }
        return text + line;
    }
};

void set_up(CLI::App& app, Options& options) {
    app.name("oxfade");
    app.formatter(std::make_shared<Help>());
    app.set_version_flag("--version", std::string("oxfade ") + version);
    app.set_help_flag("-h,--help", "Show this help");
    app.require_subcommand(1);
    app.footer(all_examples());
    for (const Verb& verb : verbs) {
        CLI::App* command = app.add_subcommand(verb.name, verb.purpose);
        command->footer(std::string("Example:\n") + verb.example + "\n\n" + closing);
        if (verb.reads_scenario) add_options(*command, options, verb.csv, verb.html);
        if (verb.add_more != nullptr) verb.add_more(*command, options);
    }
}

int usage_error(const CLI::App& app, const CLI::ParseError& error) {
    if (error.get_exit_code() == static_cast<int>(CLI::ExitCodes::Success)) return app.exit(error);
    print_error((std::string(error.what()) + "; `oxfade --help` shows how it is used").c_str());
    return bad_input;
}

int run_verb(const CLI::App& app, const Options& options) {
    for (const Verb& verb : verbs) {
        if (app.got_subcommand(verb.name)) return verb.run(options);
    }
    return bad_input;
}

/// Runs the verb, and turns what it throws into words and an exit status.
int run_and_report(const CLI::App& app, const Options& options) {
    try {
        return run_verb(app, options);
    } catch (const InputError& error) {
        print(error);
        return bad_input;
    } catch (const FileError& error) {
        print_error(error.what());
        return bad_input;
    } catch (const std::exception& error) {
        print_error(error.what());
        return failed;
    }
}

int parse_and_run(int argc, char** argv) {
    if (refuse_unknown_verb(argc, argv)) return bad_input;
    CLI::App app("When is dry sprinkler piping purged with nitrogen, and at what cost?");
    Options options;
    options.program = &app;
    set_up(app, options);
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return usage_error(app, error);
    }
    return run_and_report(app, options);
}

}  // namespace
}  // namespace oxfade::program

int main(int argc, char** argv) {
    std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is seen where it is written to
    std::signal(SIGXFSZ, SIG_IGN);  // and so is a file that grows too large
    return oxfade::program::parse_and_run(argc, argv);
}
