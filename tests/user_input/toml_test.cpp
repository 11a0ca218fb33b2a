// What is said of a file that is not TOML, or not of this format.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/scenario_text.hpp"

namespace oxfade {
namespace {

using sample::only_complaint;
using sample::with;
using testing::Contains;
using testing::HasSubstr;
using testing::StartsWith;

TEST(TomlMessages, SyntaxErrorNamesFileAndLine) {
    const auto said = only_complaint(with("title = \"sample\"", "title = sample"));
    EXPECT_THAT(said, StartsWith("sample.toml:2: "));
    EXPECT_THAT(said, HasSubstr("TOML"));
}

TEST(TomlMessages, KeyGivenTwice) {
    EXPECT_THAT(only_complaint(with("title = \"sample\"", "format = 1")), HasSubstr("redefine"));
}

TEST(TomlMessages, EmptyFileLacksEverything) {
    const auto said = sample::complaints("");
    EXPECT_THAT(said, Contains(HasSubstr("format: this key is missing")));
    EXPECT_THAT(said, Contains(HasSubstr("source: this key is missing")));
    EXPECT_THAT(said, Contains(HasSubstr("riser: there is no riser")));
}

TEST(TomlMessages, BinaryGarbage) {
    std::string garbage;
    for (int i = 0; i < 900; ++i) garbage += static_cast<char>((i * 7919) % 256);
    EXPECT_THAT(only_complaint(garbage), StartsWith("sample.toml:"));
}

TEST(TomlMessages, LongLine) {
    EXPECT_THAT(only_complaint(std::string(100'000, 'a')), HasSubstr("the line is too long"));
}

TEST(TomlMessages, DeepNesting) {
    EXPECT_THAT(only_complaint("a = " + std::string(500, '[')),
                HasSubstr("too many brackets inside each other"));
    std::string dotted;
    for (int i = 0; i < 490; ++i) dotted += "a.";
    std::string spiral;
    for (int i = 0; i < 200; ++i) spiral += (i == 0 ? "" : "{") + dotted + "a = [\n";
    EXPECT_THAT(only_complaint(spiral), HasSubstr("too many brackets inside each other"));
}

TEST(TomlMessages, BracketsInTextsAndCommentsDoNotNest) {
    std::string many;
    for (int i = 0; i < 40; ++i) many += "# ([{\n";
    EXPECT_THAT(sample::complaints(with("title = \"sample\"", many + "title = \"[[[[[[[[[[[[[[[[[[[[[\"")),
                testing::IsEmpty());
}

TEST(FormatMessages, OtherFormat) {
    EXPECT_EQ(
        only_complaint(with("format = 1", "format = 2")),
        "sample.toml:1: format: this version does not know this format (given: 2); format = 1 is wanted");
}

TEST(FormatMessages, MissingFormat) {
    EXPECT_THAT(only_complaint(with("format = 1", "")),
                HasSubstr("format: this key is missing; format = 1 is wanted"));
}

}  // namespace
}  // namespace oxfade
