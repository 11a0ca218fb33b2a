#include "expose.hpp"
#include "oxfade/outcome/duty.hpp"
#include "record.hpp"

namespace oxfade::python {

template <class Visit>
void describe(Kind<outcome::RiserDuty>, Visit&& visit) {
    const auto add = [&](const char* name, auto access, const char* doc) {
        visit(name, access, doc, Need::required);
    };
    add(
        "name", [](auto& d) -> auto& { return d.name; }, "str: the riser.");
    add(
        "volume_m3", [](auto& d) -> auto& { return d.volume; }, "Inside volume [m3].");
    add(
        "vents_open_mol_per_s", [](auto& d) -> auto& { return d.vents_open; },
        "Product gas through all vents, open, at set pressure [mol/s].");
    add(
        "vents_average_mol_per_s", [](auto& d) -> auto& { return d.vents_average; },
        "The same, timed vents counted by the share of time they are open [mol/s].");
    add(
        "leaks_mol_per_s", [](auto& d) -> auto& { return d.leaks; },
        "Product gas through leaks at set pressure [mol/s].");
    add(
        "supply_capacity_mol_per_s", [](auto& d) -> auto& { return d.supply_capacity; },
        "Most its supply passes at set pressure from the lowest usual pressure ahead of it [mol/s].");
    add(
        "fill_need_mol", [](auto& d) -> auto& { return d.fill_need; },
        "Gas from initial to set pressure [mol].");
    add(
        "fill_estimate_s", [](auto& d) -> auto& { return d.fill_estimate; },
        "About how long its fill takes [s].");
    add(
        "fill_flow_needed_mol_per_s", [](auto& d) -> auto& { return d.fill_flow_needed; },
        "Source flow that would just meet its fill limit [mol/s].");
    add(
        "test_loss_pa", [](auto& d) -> auto& { return d.test_loss; },
        "Pressure lost in the usual acceptance test, 40 psi for 24 h [Pa]; None without a leak.");
}

template <class Visit>
void describe(Kind<outcome::PlantDuty>, Visit&& visit) {
    visit(
        "risers", [](auto& d) -> auto& { return d.risers; }, "tuple of RiserDuty, in file order.",
        Need::required);
    visit(
        "demand_mol_per_s", [](auto& d) -> auto& { return d.demand; },
        "Steady average of vents and leaks of all risers [mol/s].", Need::required);
    visit(
        "separator_mol_per_s", [](auto& d) -> auto& { return d.separator; },
        "Nitrogen the source makes [mol/s]; None for cylinders and compressors.", Need::required);
}

void expose_duty(py::module_& module) {
    bind_record<outcome::RiserDuty>(module, "RiserDuty", "What can be said of one riser without running it.");
    bind_record<outcome::PlantDuty>(module, "PlantDuty", "What can be said of a plant without running it.");
}

}  // namespace oxfade::python
