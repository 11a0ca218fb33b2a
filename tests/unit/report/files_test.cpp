#include "oxfade/report/files.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <sstream>

#include "oxfade/error.hpp"

namespace oxfade::report {
namespace {

namespace fs = std::filesystem;

/// A folder of its own for each test.
class ReportFiles : public testing::Test {
  protected:
    void SetUp() override {
        const auto* test = testing::UnitTest::GetInstance()->current_test_info();
        folder_ = fs::path(testing::TempDir()) / (std::string("oxfade-files-") + test->name());
        fs::remove_all(folder_);
        fs::create_directories(folder_);
    }
    void TearDown() override { fs::remove_all(folder_); }

    static std::string read(const fs::path& path) {
        std::ifstream file(path);
        return {std::istreambuf_iterator<char>(file), {}};
    }
    std::size_t entries() const {
        return static_cast<std::size_t>(
            std::distance(fs::directory_iterator(folder_), fs::directory_iterator()));
    }

    fs::path folder_;
};

TEST_F(ReportFiles, WritesAndReplacesWithoutLeavings) {
    replace_file(folder_ / "a.json", "one");
    replace_file(folder_ / "a.json", "two");
    EXPECT_EQ(read(folder_ / "a.json"), "two");
    EXPECT_EQ(entries(), 1U);
}

TEST_F(ReportFiles, KeepsPermissionsAndLinks) {
    replace_file(folder_ / "real", "one");
    fs::permissions(folder_ / "real", fs::perms::owner_read | fs::perms::owner_write);
    fs::create_symlink("real", folder_ / "link");
    replace_file(folder_ / "link", "two");
    EXPECT_TRUE(fs::is_symlink(folder_ / "link"));
    EXPECT_EQ(read(folder_ / "real"), "two");
    EXPECT_EQ(fs::status(folder_ / "real").permissions(), fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(ReportFiles, SaysWhyItCannot) {
    const auto reason = [](const fs::path& path) -> std::string {
        try {
            replace_file(path, "text");
        } catch (const FileError& error) {
            return error.what();
        }
        return "nothing thrown";
    };
    EXPECT_THAT(reason(folder_ / "missing" / "a"), testing::HasSubstr("No such file or directory"));
    EXPECT_THAT(reason(folder_), testing::HasSubstr("is a directory"));
    EXPECT_THAT(reason(""), testing::HasSubstr("empty"));
    EXPECT_EQ(entries(), 0U);
}

TEST_F(ReportFiles, KnowsBeforehandWhatCannotBeWritten) {
    EXPECT_NO_THROW(require_replaceable(folder_ / "new"));
    EXPECT_NO_THROW(require_replaceable("/dev/null"));
    EXPECT_NO_THROW(require_replaceable("in-this-folder"));
    EXPECT_THROW(require_replaceable(folder_), FileError);
    EXPECT_THROW(require_replaceable(folder_ / "missing" / "new"), FileError);
    replace_file(folder_ / "file", "text");
    EXPECT_THROW(require_replaceable(folder_ / "file" / "new"), FileError);
    EXPECT_EQ(entries(), 1U);
}

TEST_F(ReportFiles, WritesDevicesDirectlyAndReportsAFullOne) {
    EXPECT_NO_THROW(replace_file("/dev/null", "text"));
    EXPECT_TRUE(fs::is_character_file("/dev/null"));
    if (!fs::exists("/dev/full")) GTEST_SKIP() << "no /dev/full here";
    EXPECT_THROW(replace_file("/dev/full", "text"), FileError);
}

TEST_F(ReportFiles, TakesADashForTheStream) {
    std::ostringstream stream;
    write_output("-", "text", stream);
    EXPECT_EQ(stream.str(), "text");
    stream.setstate(std::ios::badbit);
    EXPECT_THROW(write_output("-", "text", stream), FileError);
}

}  // namespace
}  // namespace oxfade::report
