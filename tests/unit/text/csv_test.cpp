#include "text/csv.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace oxfade::text {
namespace {

using testing::ElementsAre;

std::vector<std::vector<std::string>> fields(std::string_view text, char separator = ',') {
    std::vector<std::vector<std::string>> rows;
    for (CsvRow& row : split_csv(text, separator).rows) rows.push_back(std::move(row.fields));
    return rows;
}

TEST(Csv, PartsFieldsBySeparator) {
    EXPECT_THAT(fields("a,b ,\n1, 2,3"), ElementsAre(ElementsAre("a", "b", ""), ElementsAre("1", "2", "3")));
    EXPECT_THAT(fields("a;b,c", ';'), ElementsAre(ElementsAre("a", "b,c")));
    EXPECT_THAT(fields("a\tb c\t", '\t'), ElementsAre(ElementsAre("a", "b c", "")));
}

TEST(Csv, QuotedFieldsHoldAnything) {
    EXPECT_THAT(fields("\"a,b\",\"4\"\"\",\"two\nlines\""),
                ElementsAre(ElementsAre("a,b", "4\"", "two\nlines")));
    EXPECT_THAT(fields("4\",1 1/4\"\n"), ElementsAre(ElementsAre("4\"", "1 1/4\"")));
}

TEST(Csv, EveryLineEndIsOne) {
    EXPECT_THAT(fields("a\r\nb\rc\n"), ElementsAre(ElementsAre("a"), ElementsAre("b"), ElementsAre("c")));
    const CsvRows rows = split_csv(
        "\xEF\xBB\xBF"
        "a\r\n\r\n,,\r\"b\nc\"\nd",
        ',');
    ASSERT_EQ(rows.rows.size(), 3U);  // blank lines are left out
    EXPECT_EQ(rows.rows[0].fields[0], "a");
    EXPECT_EQ(rows.rows[1].line, 4);
    EXPECT_EQ(rows.rows[2].line, 6);
}

TEST(Csv, TellsWhereAQuoteIsLeftOpen) {
    EXPECT_EQ(split_csv("a\nb,\"c\nd\n", ',').open_quote, 2);
    EXPECT_EQ(split_csv("a\nb\n", ',').open_quote, std::nullopt);
}

}  // namespace
}  // namespace oxfade::text
