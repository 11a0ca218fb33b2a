#pragma once

namespace oxfade::program {

/// What the program tells the shell; scripts rely on these numbers.
enum ExitStatus : int {
    done = 0,
    not_met = 1,    ///< the run is done, but a target or a limit is not met
    bad_input = 2,  ///< the command line, a file or a path cannot be used
    failed = 3,     ///< the computation failed
};

}  // namespace oxfade::program
