#include <exception>

#include "convert.hpp"
#include "expose.hpp"
#include "oxfade/error.hpp"

namespace oxfade::python {
namespace {

/// The class of that name in oxfade.errors, where the hierarchy is written in Python.
py::object error_class(const char* name) { return py::module_::import("oxfade.errors").attr(name); }

void raise(const char* name, const py::object& error) {
    PyErr_SetObject(error_class(name).ptr(), error.ptr());
}

py::tuple problems_of(const InputError& error) {
    const py::object make = error_class("Problem");
    py::tuple list(error.problems().size());
    for (std::size_t i = 0; i < error.problems().size(); ++i) {
        const Problem& p = error.problems()[i];
        list[i] = make(p.key, p.value, p.what, p.allowed, p.file, p.line, to_string(p));
    }
    return list;
}

void translate(std::exception_ptr thrown) {
    try {
        if (thrown) std::rethrow_exception(thrown);
    } catch (const InputError& error) {
        raise("InputError", error_class("InputError")(problems_of(error)));
    } catch (const FileError& error) {
        raise("FileError", error_class("FileError")(error.what()));
    } catch (const ComputationError& error) {
        raise("ComputationError", error_class("ComputationError")(error.what(), error.time_s(), error.riser(),
                                                                  error.compartment(), error.mode()));
    } catch (const Error& error) {
        raise("Error", error_class("Error")(error.what()));
    }
}

}  // namespace

void expose_errors(py::module_&) { py::register_exception_translator(&translate); }

}  // namespace oxfade::python
