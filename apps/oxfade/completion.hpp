#pragma once

namespace CLI {
class App;
}

namespace oxfade::program {

struct Options;

void add_completion_options(CLI::App& verb, Options& options);

}  // namespace oxfade::program
