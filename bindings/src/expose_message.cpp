#include "expose.hpp"
#include "message_view.hpp"
#include "oxfade/report/units.hpp"
#include "record.hpp"

namespace oxfade::python {

template <class Visit>
void describe(Kind<MessageView>, Visit&& visit) {
    visit(
        "code", [](auto& m) -> auto& { return m.code; }, "str: stable code, such as 'no-way-out'.",
        Need::required);
    visit(
        "level", [](auto& m) -> auto& { return m.level; }, "str: 'note', 'warning' or 'failure'.",
        Need::required);
    visit(
        "where", [](auto& m) -> auto& { return m.where; }, "str: the riser, pipe, vent or key it is about.",
        Need::required);
    visit(
        "text", [](auto& m) -> auto& { return m.text; }, "str: what was found and what to do.",
        Need::required);
    visit(
        "places", [](auto& m) -> auto& { return m.places; },
        "tuple of str: each of them, where `where` stands for more than one.", Need::optional);
}

py::tuple message_views(const std::vector<outcome::Message>& messages, const report::Units& units) {
    py::tuple list(messages.size());
    for (std::size_t i = 0; i < messages.size(); ++i) {
        const outcome::Message& m = messages[i];
        list[i] = py::cast(MessageView{std::string(code_name(m.code)), std::string(to_string(m.level)),
                                       m.where, report::format_message(m, units), m.places});
    }
    return list;
}

void expose_message(py::module_& module) {
    bind_record<MessageView>(module, "Message", "A finding for the engineer.");
}

}  // namespace oxfade::python
