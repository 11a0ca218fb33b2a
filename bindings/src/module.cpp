#include "expose.hpp"
#include "oxfade/version.hpp"
#include "pickling.hpp"

PYBIND11_MODULE(_core, module) {
    using namespace oxfade::python;
    pybind11::options options;
    options.disable_function_signatures();  // docstrings carry readable ones, and _core.pyi the types
    module.doc() = "The compiled part of oxfade; use `import oxfade` instead.";
    module.attr("__version__") = oxfade::version;
    expose_errors(module);
    expose_quantity(module);
    expose_site(module);
    expose_source(module);
    expose_riser(module);
    expose_message(module);
    expose_duty(module);
    expose_plant(module);
    expose_history(module);
    expose_run(module);
    expose_predict(module);
    expose_ensemble(module);
    expose_studies(module);
    expose_sweep(module);
    forbid_empty_objects(module);
}
