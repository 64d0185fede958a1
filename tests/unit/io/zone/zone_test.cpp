#include "io/zone/zone.hpp"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <unistd.h>

#include "support/catch.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace date::literals;
using namespace std::chrono_literals;

namespace {

const Instant kNow{date::sys_days{2026_y / nov / 1}};
const Interval kAYear{Instant{date::sys_days{2026_y / jan / 1}}, Instant{date::sys_days{2027_y / jan / 1}}};

Fault only_fault(const Read<Zone>& read) {
    REQUIRE_FALSE(read.ok());
    REQUIRE(read.faults().size() == 1);
    return read.faults().front();
}

// An environment variable as a test wants it, and as it was afterwards.
class Variable {
  public:
    Variable(const char* name, const char* value) : name_(name) {
        if (const char* set = std::getenv(name)) before_ = set;
        value == nullptr ? unsetenv(name) : setenv(name, value, 1);
    }
    ~Variable() { before_ ? setenv(name_, before_->c_str(), 1) : unsetenv(name_); }
    Variable(const Variable&) = delete;
    Variable& operator=(const Variable&) = delete;

  private:
    const char* name_;
    std::optional<std::string> before_;
};

std::optional<std::string> variable(const char* name) {
    const char* set = std::getenv(name);
    return set == nullptr ? std::nullopt : std::optional<std::string>(set);
}

// A folder of zone data with one file in it, gone when the test is.
class Folder {
  public:
    explicit Folder(const std::string& tzdata_zi) {
        std::string pattern = (std::filesystem::temp_directory_path() / "lullwatt-zone-XXXXXX").string();
        REQUIRE(mkdtemp(pattern.data()) != nullptr);
        path_ = pattern;
        std::ofstream(path_ / "tzdata.zi") << tzdata_zi;
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

  private:
    std::filesystem::path path_;
};

}  // namespace

TEST_CASE("a zone is known over what was asked for and two days around it") {
    const auto zone = load_zone("America/Halifax", kAYear, kNow);
    REQUIRE(zone.ok());
    CHECK(zone.value().name() == "America/Halifax");
    CHECK(zone.value().known() == Interval{kAYear.begin - 48h, kAYear.end + 48h});
    CHECK(zone.value().offset_at(kAYear.begin - 48h) == -4h);
    CHECK(zone.value().offset_at(Instant{date::sys_days{2026_y / jul / 1}}) == -3h);
    CHECK(zone.value().abbreviation_at(Instant{date::sys_days{2026_y / jul / 1}}) == "ADT");
}

TEST_CASE("an instant may be asked for alone") {
    const auto zone = load_zone("Europe/Stockholm", {kNow, kNow}, kNow);
    REQUIRE(zone.ok());
    CHECK(zone.value().offset_at(kNow) == 1h);
}

TEST_CASE("nothing but the name of a zone is taken for one") {
    const auto name =
        GENERATE(as<std::string>{}, "", "/", "/etc/localtime", "/usr/share/zoneinfo/America/Halifax",
                 "../../../etc/passwd", "America/../Europe/London", "./UTC", "America//Halifax", "America/",
                 "America Halifax", "EST5EDT,M3.2.0,M11.1.0", ":UTC", "localtime", "right/America/Halifax",
                 "posix/America/Halifax", "Zürich", std::string("UTC\0x", 5));
    const Fault fault = only_fault(load_zone(name, kAYear, kNow));
    CHECK(fault.key == "zone");
    CHECK(fault.value == name);
    CHECK(fault.what == (name.empty() ? "is empty" : "is not the name of a zone"));
    CHECK_FALSE(fault.allowed.empty());
    CHECK(fault.mend == "write a name such as 'America/Halifax' or 'Europe/Stockholm'");
}

TEST_CASE("a zone that is not there is named with what to write instead") {
    SECTION("a name that is like no other") {
        CHECK(text(only_fault(load_zone("America/Halifacks", kAYear, kNow))) ==
              "/usr/share/zoneinfo: zone 'America/Halifacks': is no zone known here. Allowed: the names "
              "'timedatectl list-timezones' lists. Mend: write continent and city, such as "
              "'America/Halifax'; old "
              "names such as 'US/Eastern' may need the package tzdata-legacy.");
    }
    SECTION("the right name in other capitals") {
        CHECK(only_fault(load_zone("america/HALIFAX", kAYear, kNow)).mend == "write 'America/Halifax'");
    }
    SECTION("a folder of zones") {
        CHECK(only_fault(load_zone("America", kAYear, kNow)).what == "is no zone known here");
    }
}

TEST_CASE("a file of the folder that is no zone file is not read as one") {
    const Fault fault = only_fault(load_zone("leapseconds", kAYear, kNow));
    CHECK(fault.file == "/usr/share/zoneinfo/leapseconds");
    CHECK(fault.what == "cannot be used: its file is no zone file");
    CHECK(fault.mend == "install the package tzdata anew: apt-get install --reinstall tzdata");
}

TEST_CASE("times no calendar of ours reaches are refused") {
    const Instant first = Instant::min();
    const Instant latest = Instant::max();
    const auto refused = [](Interval needed, Instant now) {
        return only_fault(load_zone("America/Halifax", needed, now)).what;
    };
    CHECK(refused({first, kNow}, kNow) == "is asked for times out of reach");
    CHECK(refused({kNow, latest}, kNow) == "is asked for times out of reach");
    CHECK(refused({kNow, kNow}, first) == "is asked for times out of reach");
    CHECK(refused({kNow, kNow}, latest) == "is asked for times out of reach");
}

TEST_CASE("a TZDIR that points elsewhere is refused, for only one of the libraries follows it") {
    SECTION("elsewhere") {
        const Variable set("TZDIR", "/usr/share");
        const Fault fault = only_fault(load_zone("America/Halifax", kAYear, kNow));
        CHECK(fault.key == "TZDIR");
        CHECK(fault.value == "/usr/share");
        CHECK(fault.allowed == "/usr/share/zoneinfo");
        CHECK(fault.mend == "unset TZDIR for this program");
    }
    SECTION("nowhere") {
        const Variable set("TZDIR", "/no such folder");
        CHECK(only_fault(load_zone("America/Halifax", kAYear, kNow)).key == "TZDIR");
    }
    SECTION("the same folder, or none") {
        const auto* value = GENERATE("/usr/share/../share/zoneinfo", "");
        const Variable set("TZDIR", value);
        CHECK(load_zone("America/Halifax", kAYear, kNow).ok());
    }
}

TEST_CASE("the process's own zone is as it was after a zone was loaded") {
    const Instant summer{date::sys_days{2026_y / jul / 1}};
    const std::time_t seconds = summer.time_since_epoch().count();
    SECTION("set") {
        const Variable set("TZ", "Asia/Kathmandu");
        REQUIRE(load_zone("America/Halifax", kAYear, kNow).ok());
        CHECK(variable("TZ") == "Asia/Kathmandu");
        std::tm local{};
        REQUIRE(localtime_r(&seconds, &local) != nullptr);
        CHECK(local.tm_gmtoff == 20'700);
    }
    SECTION("not set") {
        const Variable unset("TZ", nullptr);
        REQUIRE(load_zone("America/Halifax", kAYear, kNow).ok());
        CHECK(variable("TZ") == std::nullopt);
    }
}

TEST_CASE("the release of the zone data stands in the first line of tzdata.zi") {
    SECTION("here") {
        const auto version = zone_data_version();
        REQUIRE(version.ok());
        CHECK(version.value().size() >= 5);
        CHECK(version.value().substr(0, 2) == "20");
    }
    SECTION("any") {
        CHECK(zone_data_version(Folder("# version 2026f\n# more\n").path()).value() == "2026f");
    }
    SECTION("a file that does not say it") {
        const auto begin = GENERATE(as<std::string>{}, "", "\n", "# version ", "R d 1916 o\n");
        const auto version = zone_data_version(Folder(begin).path());
        REQUIRE_FALSE(version.ok());
        CHECK(version.faults().front().what == "does not begin with its version");
    }
    SECTION("no file") {
        const auto version = zone_data_version("/no such folder");
        REQUIRE_FALSE(version.ok());
        CHECK(
            text(version.faults().front()) ==
            "/no such folder/tzdata.zi: cannot be read, so the release of the zone data is not known. Mend: "
            "install the package tzdata anew: apt-get install --reinstall tzdata.");
    }
}
