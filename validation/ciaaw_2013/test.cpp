#include <gtest/gtest.h>

#include <algorithm>

#include "check.hpp"
#include "oxfade/gas/mixture.hpp"

using namespace oxfade;
using namespace oxfade::validation;

TEST(ciaaw_2013, molar_masses) {
    const auto molar_mass = [](const Row& row) {
        const auto found = std::find(gas::species_name.begin(), gas::species_name.end(), row.text("species"));
        return 1e3 * gas::species_molar_mass.at(static_cast<std::size_t>(found - gas::species_name.begin()));
    };
    check_rows("ciaaw_2013", {{"gas::species_molar_mass", molar_mass}});
}
