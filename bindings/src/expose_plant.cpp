#include <pybind11/stl/filesystem.h>

#include <fstream>
#include <iterator>

#include "convert.hpp"
#include "describe/plant.hpp"
#include "expose.hpp"
#include "message_view.hpp"
#include "model.hpp"
#include "numbers.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/report/survey.hpp"
#include "plant_docs.hpp"
#include "record.hpp"

namespace oxfade::python {

template <>
struct Convert<scenario::UnitSystem> {
    static py::object to_python(scenario::UnitSystem value) {
        return py::str(value == scenario::UnitSystem::si ? "si" : "us");
    }
    static scenario::UnitSystem from_python(py::handle value) {
        const auto word = py::cast<std::string>(value);
        if (word != "si" && word != "us") throw py::cast_error();
        return word == "si" ? scenario::UnitSystem::si : scenario::UnitSystem::us;
    }
    static std::string wanted() { return "'si' or 'us' is wanted"; }
};

template <class Visit>
void describe(Kind<Model>, Visit&& visit) {
    describe_plant(
        visit, [](auto& m) -> auto& { return m.plant; });
    visit(
        "relative_tolerance", [](auto& m) -> auto& { return m.relative_tolerance; },
        "Local error per step of the computation [1], or None: the default.", Need::optional);
    visit(
        "refinement", [](auto& m) -> auto& { return m.refinement; },
        "How many times the usual number of cells pipes get that have none of their own [1], 0.05 to 100, or "
        "None: the program chooses.",
        Need::optional);
    visit(
        "units", [](auto& m) -> auto& { return m.units; }, "str: units of its reports, 'si' or 'us'.",
        Need::optional);
}

namespace {

using ModelAttributes = Attributes<Model>;

std::vector<scenario::Override> overrides_from(const std::optional<py::dict>& given) {
    std::vector<scenario::Override> overrides;
    if (!given) return overrides;
    const py::object as_toml = py::module_::import("oxfade._toml").attr("override_value");
    for (const auto& [key, value] : *given) {
        overrides.push_back({py::cast<std::string>(key), py::cast<std::string>(as_toml(value, key))});
    }
    return overrides;
}

Model load(const std::filesystem::path& file, const std::optional<py::dict>& changes) {
    auto overrides = overrides_from(changes);
    scenario::Scenario read = scenario::read_file(file, overrides);
    std::ifstream in(file, std::ios::binary);
    std::string text{std::istreambuf_iterator<char>(in), {}};
    if (!read.resolved.empty()) {  // as in read_model
        text = std::move(read.resolved);
        overrides.clear();
    }
    auto origin =
        std::make_shared<const Origin>(Origin{std::move(text), file.string(), std::move(overrides)});
    return {std::move(read.plant), read.relative_tolerance, read.refinement, read.units, std::move(origin)};
}

Model loads(const std::string& text, const std::string& name, const std::optional<py::dict>& changes) {
    return read_model(std::make_shared<const Origin>(Origin{text, name, overrides_from(changes)}));
}

/// The model's text; written afresh where there is none.
Origin origin_of(const py::object& self) {
    const auto& model = py::cast<const Model&>(self);
    if (model.origin) return *model.origin;
    return {py::cast<std::string>(self.attr("to_toml")()), "plant", {}};
}

bool is_number(const plant::Plant& plant, const std::string& key, py::handle value) {
    if (PyBool_Check(value.ptr()) != 0 || py::isinstance<py::str>(value)) return false;
    return PyNumber_Check(value.ptr()) != 0 && has_number(plant, number_path(key));
}

/// `with_`: texts by the file's keys first, then numbers and attributes.
Model changed(const ModelAttributes& attributes, const py::object& self, const std::optional<py::dict>& keys,
              const py::kwargs& given) {
    Model model = py::cast<const Model&>(self);
    py::dict texts, numbers;
    for (const auto& [key, value] : keys.value_or(py::dict())) {
        (is_number(model.plant, py::cast<std::string>(key), value) ? numbers : texts)[key] = value;
    }
    if (!texts.empty()) {
        Origin origin = origin_of(self);
        for (auto& override : overrides_from(texts)) origin.overrides.push_back(std::move(override));
        model = read_model(std::make_shared<const Origin>(std::move(origin)));
    }
    attributes.assign(model, given);
    for (const auto& [key, value] : numbers) {
        set_number(model.plant, number_path(py::cast<std::string>(key)), Convert<double>::from_python(value));
    }
    if (!numbers.empty() || !given.empty()) model.origin.reset();
    plant::require_valid(model.plant);
    return model;
}

py::tuple state_of(const ModelAttributes& attributes, const Model& model) {
    if (!model.origin) return py::make_tuple(attributes.state(model));
    py::list overrides;
    for (const auto& o : model.origin->overrides) overrides.append(py::make_tuple(o.key, o.value));
    return py::make_tuple(model.origin->text, model.origin->name, overrides);
}

Model model_from(const ModelAttributes& attributes, const py::tuple& state) {
    if (state.size() == 1) return attributes.make(state[0].cast<py::dict>());
    Origin origin{state[0].cast<std::string>(), state[1].cast<std::string>(), {}};
    for (const auto& pair : state[2].cast<std::vector<std::pair<std::string, std::string>>>()) {
        origin.overrides.push_back({pair.first, pair.second});
    }
    return read_model(std::make_shared<const Origin>(std::move(origin)));
}

plant::Riser riser_of(const Model& model, const std::string& name) {
    std::optional<std::size_t> index;
    std::vector<std::string> known;
    for (std::size_t i = 0; i < model.plant.risers.size(); ++i) {
        if (model.plant.risers[i].name == name) index = i;
        known.push_back(model.plant.risers[i].name);
    }
    return model.plant.risers[require_named(index, "riser", name, known)];
}

std::string survey(const Model& model, const std::optional<std::string>& units) {
    const report::Survey survey{outcome::duty_of(model.plant), outcome::findings_before(model.plant),
                                study::checkup(model.plant)};
    return report::survey_text(model.plant, survey, report_units(model, units));
}

void add_changes(py::class_<Model>& cls, const std::shared_ptr<ModelAttributes>& attributes) {
    cls.def(py::init([attributes](const py::kwargs& given) {
                Model model = attributes->make(given);
                plant::require_valid(model.plant);
                return model;
            }),
            attributes->signature().c_str());
    cls.def(
        "with_",
        [attributes](const py::object& self, const std::optional<py::dict>& keys, const py::kwargs& given) {
            return changed(*attributes, self, keys, given);
        },
        py::arg("keys") = py::none(), docs::plant_with);
    cls.def(
        "__eq__",
        [attributes](const Model& self, const Model& other) {
            return attributes->state(self).equal(attributes->state(other));
        },
        py::is_operator());
    add_pickling(
        cls, [attributes](const Model& self) { return state_of(*attributes, self); },
        [attributes](const py::tuple& state) { return model_from(*attributes, state); });
}

void add_views(py::class_<Model>& cls) {
    cls.def_property_readonly(
        "_has_text", [](const Model& m) { return m.origin != nullptr; },
        "bool: whether it still is what a file's text says.");
    cls.def("riser", &riser_of, py::arg("name"), docs::plant_riser);
    cls.def_property_readonly(
        "duty", [](const Model& m) { return outcome::duty_of(m.plant); },
        "PlantDuty: what can be said without running it.");
    cls.def_property_readonly(
        "findings",
        [](const Model& m) {
            return message_views(outcome::findings_before(m.plant), report_units(m, std::nullopt));
        },
        "tuple of Message: what an engineer should know before running it.");
    cls.def("survey", &survey, py::arg("units") = py::none(), docs::plant_survey);
    cls.def(
        "to_toml",
        [](const py::object& self) { return py::module_::import("oxfade._toml").attr("document")(self); },
        docs::plant_to_toml);
    cls.def("_repr_html_", [](const py::object& self) {
        return py::module_::import("oxfade._html").attr("of_plant")(self);
    });
    cls.def("__repr__", [](const Model& m) {
        return "<Plant " + quoted(m.plant.title) + ": " + std::to_string(m.plant.risers.size()) +
               " risers, " + report::format_time(m.plant.duration) + ">";
    });
}

}  // namespace

void expose_plant(py::module_& module) {
    auto attributes = std::make_shared<ModelAttributes>("Plant");
    py::class_<Model> cls(module, "Plant", docs::plant);
    describe(Kind<Model>{}, [&](const char* name, auto access, const char* text, Need need) {
        cls.def_property_readonly(name, attributes->add(name, access, need).get, text);
    });
    add_changes(cls, attributes);
    add_views(cls);
    module.def("load", &load, py::arg("file"), py::arg("keys") = py::none(),
               "A plant of a file; see oxfade.load.");
    module.def("loads", &loads, py::arg("text"), py::arg("name") = "text", py::arg("keys") = py::none(),
               "A plant of a text; see oxfade.loads.");
}

}  // namespace oxfade::python
