// The options of `lullwatt bill` and `lullwatt compare`, and the question they come to.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/account/bill.hpp"
#include "io/fault/fault.hpp"

namespace CLI {
class App;
}

namespace lullwatt::tools {

struct BillOptions {
    std::string zone;
    std::string from;
    std::string to;
    std::string month;
    std::string prices_of;
    unsigned bill_day = 1;
    std::string readings;
    std::string given;
    std::string meter;
    std::vector<std::string> kwh;
    std::vector<std::string> given_kwh;
    std::vector<std::string> kw;
    std::string register_reads;
    std::string multiplier;  // empty: 1, or the contract's
    std::optional<int> register_digits;
    std::string fuse;
    std::string contracted;
    std::string given_peak;
    int months = 1;
    bool json = false;
    bool csv = false;
};

void add_period_options(CLI::App& app, BillOptions& options);
void add_reading_options(CLI::App& app, BillOptions& options);
// Totals instead of readings. After the two above.
void add_typed_options(CLI::App& app, BillOptions& options);
// Fuse, ordered power, given peak, months, and --json.
void add_terms_options(CLI::App& app, BillOptions& options);

// Usage and terms, whatever the tariff.
struct BillUsage {
    std::variant<account::Metered, account::Typed> usage;
    account::Terms terms;
    io::Faults warnings;
};
[[nodiscard]] io::Read<BillUsage> bill_usage(const BillOptions& options);

// With the prices of one day for all time, where that is asked for.
[[nodiscard]] io::Read<tariff::Tariff> asked_prices(const BillOptions& options, tariff::Tariff tariff,
                                                    const std::string& file);

// The tariff's clock around the readings or the days asked for.
[[nodiscard]] io::Read<Zone> bill_clock(const BillOptions& options, const tariff::Tariff& tariff,
                                        const std::string& file, const BillUsage& usage);

struct BillSpans {
    std::vector<account::DateSpan> spans;
    std::optional<account::DateSpan> left_out;  // days with readings at either end that make no whole bill
};
// The one bill asked for, or every bill that the readings cover.
[[nodiscard]] io::Read<BillSpans> bill_spans(const BillOptions& options, const tariff::Tariff& tariff,
                                             const Zone& clock, const tariff::BillDates& dates,
                                             const BillUsage& usage);

[[nodiscard]] io::Fault refusal_fault(const std::string& file, const account::Refusal& refusal);

}  // namespace lullwatt::tools
