// Tariffs ranked by what a year under each would cost, in words, as JSON and as CSV.
//
// Pure functions; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/account/year.hpp"

namespace lullwatt::tools {

struct ComparedTariff {
    std::string file;
    std::string name;
    account::YearCost year;
    std::optional<Money> cars;  // what the cars add to it
    std::string refused;        // why there is no year; then the rest is empty
};

struct CompareWords {
    std::vector<account::DateSpan> spans;
    std::string prices_of;
    std::string currency;
    int digits = 2;
    Seconds without_readings{0};
};

// The first tariff is the present one. REQUIRES: it has a year.
[[nodiscard]] std::string compare_text(const std::vector<ComparedTariff>& tariffs, const CompareWords& words);
[[nodiscard]] std::string compare_json(const std::vector<ComparedTariff>& tariffs, const CompareWords& words);
[[nodiscard]] std::string compare_csv(const std::vector<ComparedTariff>& tariffs, const CompareWords& words);

}  // namespace lullwatt::tools
