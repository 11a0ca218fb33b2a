#include "completion.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include <string>
#include <vector>

#include "exit_status.hpp"
#include "options.hpp"
#include "output.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

std::vector<const CLI::App*> verbs_of(const CLI::App& program) {
    return program.get_subcommands([](const CLI::App*) { return true; });
}

/// Its options with their dashes; those without are arguments.
std::vector<const CLI::Option*> flags_of(const CLI::App& verb) {
    return verb.get_options([](const CLI::Option* option) { return option->nonpositional(); });
}

std::string flag_name(const CLI::Option& option) {
    return option.get_lnames().empty() ? "-" + option.get_snames().front()
                                       : "--" + option.get_lnames().front();
}

/// Words an option can be given, where it is one of a few.
std::vector<std::string> words_of(const CLI::Option& option) {
    std::vector<std::string> words;
    const std::string type = option.get_type_name();
    if (type.find('|') == std::string::npos ||
        type.find_first_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ") != std::string::npos)
        return words;
    for (std::size_t begin = 0; begin <= type.size();) {
        const std::size_t end = std::min(type.find('|', begin), type.size());
        words.push_back(type.substr(begin, end - begin));
        begin = end + 1;
    }
    return words;
}

bool takes_value(const CLI::Option& option) { return option.get_expected_max() > 0; }
bool takes_path(const CLI::Option& option) { return option.get_type_name() == "PATH"; }

std::string quoted(std::string text) {
    for (std::size_t at = 0; (at = text.find('\'', at)) != std::string::npos; at += 4)
        text.replace(at, 1, "'\\''");
    return "'" + text + "'";
}

/// Files where a verb's arguments or an option's value are asked for, else its options.
std::string bash(const CLI::App& program) {
    std::string verbs, cases;
    for (const CLI::App* verb : verbs_of(program)) {
        verbs += (verbs.empty() ? "" : " ") + verb->get_name();
        std::string flags, values;
        for (const CLI::Option* option : flags_of(*verb)) {
            const std::string name = flag_name(*option);
            flags += (flags.empty() ? "" : " ") + name;
            const auto words = words_of(*option);
            if (!words.empty()) {
                values += fmt::format(
                    "                {}) COMPREPLY=($(compgen -W '{}' -- \"$word\")); return ;;\n", name,
                    fmt::join(words, " "));
            } else if (takes_value(*option) && !takes_path(*option)) {
                values += fmt::format("                {}) return ;;\n", name);
            }
        }
        cases += fmt::format("        {})\n            flags='{}'\n", verb->get_name(), flags);
        if (!values.empty()) cases += "            case $before in\n" + values + "            esac\n";
        cases += "            ;;\n";
    }
    return fmt::format(R"(# Completion of oxfade for bash, printed by `oxfade completion bash`.
_oxfade() {{
    local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD-1]}} flags=
    COMPREPLY=()
    if ((COMP_CWORD == 1)); then
        COMPREPLY=($(compgen -W '{} --help --version' -- "$word"))
        return
    fi
    case ${{COMP_WORDS[1]}} in
{}    esac
    if [[ $word == -* ]]; then
        COMPREPLY=($(compgen -W "$flags" -- "$word"))
    else
        compopt -o filenames 2>/dev/null
        COMPREPLY=($(compgen -f -- "$word"))
    fi
}}
complete -F _oxfade oxfade
)",
                       verbs, cases);
}

/// What zsh's _arguments takes for an option: `--name[what it does]:type:files`.
std::string zsh_option(const CLI::Option& option) {
    std::string said = option.get_description();
    for (const char c : {'[', ']', ':'}) {
        for (std::size_t at = 0; (at = said.find(c, at)) != std::string::npos; at += 2) said.insert(at, "\\");
    }
    std::string text = fmt::format("{}[{}]", flag_name(option), said);
    if (!takes_value(option)) return quoted(text);
    const auto words = words_of(option);
    const std::string action = !words.empty()       ? fmt::format("({})", fmt::join(words, " "))
                               : takes_path(option) ? "_files"
                                                    : " ";
    return quoted(text + ":value:" + action);
}

std::string zsh(const CLI::App& program) {
    std::string verbs, cases;
    for (const CLI::App* verb : verbs_of(program)) {
        verbs += fmt::format("        {}\n", quoted(verb->get_name() + ":" + verb->get_description()));
        cases += fmt::format("        {}) _arguments", verb->get_name());
        for (const CLI::Option* option : flags_of(*verb)) cases += " \\\n            " + zsh_option(*option);
        cases += " \\\n            '*:file:_files' ;;\n";
    }
    return fmt::format(R"(#compdef oxfade
# Completion of oxfade for zsh, printed by `oxfade completion zsh`.
_oxfade() {{
    local -a verbs=(
{}    )
    if ((CURRENT == 2)); then
        _describe verb verbs
        return
    fi
    local verb=$words[2]
    shift words
    ((CURRENT--))
    case $verb in
{}    esac
}}
if [[ $funcstack[1] == _oxfade ]]; then _oxfade "$@"; else compdef _oxfade oxfade; fi
)",
                       verbs, cases);
}

std::string fish_option(const CLI::App& verb, const CLI::Option& option) {
    std::string line = fmt::format("complete -c oxfade -n '__fish_seen_subcommand_from {}'", verb.get_name());
    for (const std::string& name : option.get_lnames()) line += " -l " + name;
    for (const std::string& name : option.get_snames()) line += " -s " + name;
    const auto words = words_of(option);
    if (!words.empty()) {
        line += fmt::format(" -x -a '{}'", fmt::join(words, " "));
    } else if (takes_value(option)) {
        line += takes_path(option) ? " -r" : " -x";
    }
    return line + " -d " + quoted(option.get_description()) + '\n';
}

std::string fish(const CLI::App& program) {
    std::string text = "# Completion of oxfade for fish, printed by `oxfade completion fish`.\n";
    for (const CLI::App* verb : verbs_of(program)) {
        text += fmt::format("complete -c oxfade -n __fish_use_subcommand -f -a {} -d {}\n", verb->get_name(),
                            quoted(verb->get_description()));
    }
    for (const CLI::App* verb : verbs_of(program)) {
        for (const CLI::Option* option : flags_of(*verb)) text += fish_option(*verb, *option);
    }
    return text;
}

}  // namespace

void add_completion_options(CLI::App& verb, Options& options) {
    CLI::IsMember shells({"bash", "zsh", "fish"});
    shells.description("");
    verb.add_option("SHELL", options.shell, "The shell: bash, zsh or fish")
        ->required()
        ->check(shells)
        ->type_name("");
}

int completion(const Options& options) {
    const CLI::App& program = *options.program;
    write_standard_output(options.shell == "bash"  ? bash(program)
                          : options.shell == "zsh" ? zsh(program)
                                                   : fish(program));
    return done;
}

}  // namespace oxfade::program
