#include <gtest/gtest.h>

#include "scenario/takeoff/cells.hpp"
#include "scenario/takeoff/columns.hpp"

namespace oxfade::scenario::detail {
namespace {

std::string heading(std::string_view text) {
    const auto found = read_heading(text);
    if (!found) return "none";
    return std::string(name_of(found->column)) + (found->unit.empty() ? "" : " in " + found->unit);
}

TEST(Headings, TakeTheWaysTheyAreWritten) {
    for (const char* text :
         {"length [ft]", "Length (ft)", "Length, ft", "LENGTH FT.", "length_ft", "Pipe length / feet"})
        EXPECT_EQ(heading(text).substr(0, 11), "length in f") << text;
    EXPECT_EQ(heading("Length (as built)"), "length");
    EXPECT_EQ(heading("Nominal Diameter"), "size");
    EXPECT_EQ(heading("Size (mm)"), "size in mm");
    EXPECT_EQ(heading("ID"), "name");
    EXPECT_EQ(heading("ID [mm]"), "inside diameter in mm");
    EXPECT_EQ(heading("Inside diameter, mm"), "inside diameter in mm");
    EXPECT_EQ(heading("Qty."), "count");
    EXPECT_EQ(heading("hangs on"), "from");
    EXPECT_EQ(heading("Sampling-Point"), "sampling point");
    EXPECT_EQ(heading("Drain / low point (gal)"), "low point in gal");
    EXPECT_EQ(heading("Pitch [%]"), "pitch in %");
    EXPECT_EQ(heading("Remarks"), "remark");
    EXPECT_EQ(heading("colour"), "none");
    EXPECT_EQ(heading(""), "none");
}

TEST(Headings, TakeCoordinatesOfBothEnds) {
    for (const char* text :
         {"x1 [m]", "X start (m)", "Start X, m", "x from m", "near x [m]", "Start point X [m]"})
        EXPECT_EQ(heading(text), "x1 in m") << text;
    for (const char* text :
         {"z2 [ft]", "End Z (ft)", "elevation to [ft]", "far elevation, ft", "Elev. 2 [ft]"})
        EXPECT_EQ(heading(text), "elevation to in ft") << text;
    EXPECT_EQ(heading("y"), "none");
}

TEST(Headings, ASlipIsKnownFromAnotherColumn) {
    EXPECT_EQ(nearly_heading("lenght [ft]"), "length");
    EXPECT_EQ(nearly_heading("shedule"), "schedule");
    EXPECT_EQ(nearly_heading("Family"), std::nullopt);
    EXPECT_EQ(nearly_heading("Phase created"), std::nullopt);
}

Measure length(std::string_view cell, const std::string& unit = "") {
    const auto read = read_measure(plain_cell(cell), unit, Dimension::length);
    const auto* found = std::get_if<Measure>(&read);
    return found != nullptr ? *found : Measure{-1.0, std::get<QuantityError>(read).what};
}

TEST(Cells, TakeLengthsAsTheyAreWritten) {
    constexpr double foot = 0.3048, inch = 0.0254;
    EXPECT_DOUBLE_EQ(length("14.5", "ft").value, 14.5 * foot);
    EXPECT_DOUBLE_EQ(length("14.5 m", "ft").value, 14.5);
    for (const char* text : {"14'-6 1/2\"", "14' 6 1/2\"", "14'6-1/2\"", "14' - 6.5\"", "14 ft 6 1/2 in",
                             "14 FT. 6.5 IN.", "14\u2032 6\u00bd\u2033", "14'-6 1/2"})
        EXPECT_NEAR(length(text).value, 174.5 * inch, 1e-12) << text;
    EXPECT_EQ(length("14'-6 1/2\"").text, "174.5 in");
    EXPECT_NEAR(length("-2'-6\"").value, -30.0 * inch, 1e-12);
    EXPECT_DOUBLE_EQ(length("14'").value, 14 * foot);
    EXPECT_DOUBLE_EQ(length("6\"").value, 6 * inch);
    EXPECT_DOUBLE_EQ(length("1\u00bc in").value, 1.25 * inch);
    EXPECT_DOUBLE_EQ(length("3200 mm").value, 3.2);
    EXPECT_DOUBLE_EQ(length("3 M").value, 3.0);
    EXPECT_EQ(length("14").text, "`14` has no unit");
    EXPECT_EQ(length("14 ft2").value, -1.0);
    EXPECT_EQ(length("14 ft 3").value, -1.0);
    EXPECT_EQ(length("14 gal", "ft").value, -1.0);
    EXPECT_EQ(length("", "ft").value, -1.0);
}

std::string size(std::string_view cell, const std::string& unit = "") {
    const auto read = read_size(plain_cell(cell), unit);
    const auto* found = std::get_if<std::string>(&read);
    return found != nullptr ? *found : "none";
}

TEST(Cells, TakeNominalSizesAsTheyAreWritten) {
    for (const char* text :
         {"1 1/4\"", "1-1/4 in", "1.25", "1\u00bc\"", "1 1/4 Inch", "NPS 1 1/4", "\u00d8 1 1/4\""})
        EXPECT_NE(size(text), "none") << text;
    EXPECT_EQ(size("1-1/4"), "1-1/4 in");
    for (const char* text : {"DN32", "DN 32", "dn32", "32", "32 mm", "32 DN", "32 mm\u00f8"})
        EXPECT_EQ(size(text), "DN32") << text;
    EXPECT_EQ(size("32", "mm"), "DN32");
    EXPECT_EQ(size("2", "in"), "2 in");
    EXPECT_EQ(size("DN7"), "none");
    EXPECT_EQ(size("7"), "none");
    EXPECT_EQ(size("60.3 mm"), "none");
    EXPECT_EQ(size("2", "mm"), "none");
    EXPECT_EQ(size("2 ft"), "none");
    EXPECT_EQ(size("large"), "none");
}

TEST(Cells, TakeSchedulesOutOfWhatPipesAreCalled) {
    EXPECT_EQ(read_schedule("40"), "40");
    EXPECT_EQ(read_schedule("SCH40"), "40");
    EXPECT_EQ(read_schedule("Black steel, Sch. 10"), "10");
    EXPECT_EQ(read_schedule("Light"), "light");
    EXPECT_EQ(read_schedule("Steel"), "steel");
}

TEST(Cells, AMarkIsNotAName) {
    EXPECT_EQ(read_mark("Yes"), true);
    EXPECT_EQ(read_mark("x"), true);
    EXPECT_EQ(read_mark("-"), false);
    EXPECT_EQ(read_mark(""), false);
    EXPECT_EQ(read_mark("SP 1"), std::nullopt);
}

std::string number(std::string_view cell, bool comma, bool point) {
    const auto read = plain_number(plain_cell(cell), NumberStyle{comma, point});
    const auto* found = std::get_if<std::string>(&read);
    return found != nullptr ? *found : "ambiguous";
}

TEST(Numbers, HaveOneDecimalSign) {
    EXPECT_EQ(number("3,5 m", false, false), "3.5 m");
    EXPECT_EQ(number("3.5 m", false, false), "3.5 m");
    EXPECT_EQ(number("1.250,5", false, false), "1250.5");
    EXPECT_EQ(number("1,250.5", false, false), "1250.5");
    EXPECT_EQ(number("1,234,567", false, false), "1234567");
    EXPECT_EQ(number("1.234.567 mm", false, false), "1234567 mm");
    EXPECT_EQ(number("12 500,0", false, false), "12500.0");
    EXPECT_EQ(number("12\u00a0"
                     "500",
                     false, false),
              "12500");
    EXPECT_EQ(number("0,125", false, false), "0.125");
    EXPECT_EQ(number("1250,125", false, false), "1250.125");
    EXPECT_EQ(number("-3,25", false, false), "-3.25");
    EXPECT_EQ(number("1 1/4\"", false, false), "1 1/4\"");
    EXPECT_EQ(number("14'-6\"", false, false), "14'-6\"");
    EXPECT_EQ(number("long", false, false), "long");
}

TEST(Numbers, ALoneSignBeforeThreeFiguresFollowsTheFile) {
    EXPECT_EQ(number("1,250", false, false), "ambiguous");
    EXPECT_EQ(number("1,250", true, false), "1.250");
    EXPECT_EQ(number("1,250", false, true), "1250");
    EXPECT_EQ(number("1,250", true, true), "ambiguous");
    EXPECT_EQ(number("1.250", false, false), "1.250");
    EXPECT_EQ(number("1.250", false, true), "1.250");
    EXPECT_EQ(number("1.250", true, false), "ambiguous");
}

TEST(Numbers, AFileSaysHowItWritesThem) {
    NumberStyle style;
    style.learn("1,250");
    EXPECT_FALSE(style.comma || style.point);
    style.learn("3,5 m");
    EXPECT_TRUE(style.comma && !style.point);
    style.learn("1,250.5");
    EXPECT_TRUE(style.point);
}

}  // namespace
}  // namespace oxfade::scenario::detail
