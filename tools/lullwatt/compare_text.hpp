// Tariffs ranked by what a year under each would cost, in words, as JSON and as CSV.
//
// Pure functions; call from any thread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/account/year.hpp"
#include "io/fault/fault.hpp"

namespace lullwatt::tools {

struct ComparedTariff {
    std::string file;
    std::string name;
    account::YearCost year;
    std::optional<std::vector<Money>> cars;  // what the cars add to each bill
    MilliwattHours assumed;                  // energy at prices that nobody has announced
    std::vector<std::string> begun_midway;   // charges that count earlier bills, which are not known
    Seconds without_readings{0};
    io::Faults refused;  // why there is no year; then the rest is empty

    [[nodiscard]] Money cars_in_all() const;     // 0 without cars
    [[nodiscard]] double assumed_share() const;  // of the energy
    // Whether so much of the energy is at assumed prices that a place among the others would say nothing.
    [[nodiscard]] bool is_guess() const;
};

struct CompareWords {
    std::vector<account::DateSpan> spans;
    std::string prices_of;
    std::string currency;
    int digits = 2;
    std::vector<account::DateSpan> left_out;  // days with readings that make no whole bill
    io::Faults warnings;                      // of the readings
};

// Indices of the tariffs: cheapest first, then guesses, then those refused.
[[nodiscard]] std::vector<std::size_t> ranked(const std::vector<ComparedTariff>& tariffs);

[[nodiscard]] std::string percent_text(double share);  // "12.5"

// Each share in words, in the order of account::Share.
[[nodiscard]] const char* share_words(account::Share share);

// The first tariff is the present one. REQUIRES: it has a year.
[[nodiscard]] std::string compare_text(const std::vector<ComparedTariff>& tariffs, const CompareWords& words);
[[nodiscard]] std::string compare_json(const std::vector<ComparedTariff>& tariffs, const CompareWords& words);
[[nodiscard]] std::string compare_csv(const std::vector<ComparedTariff>& tariffs, const CompareWords& words);

}  // namespace lullwatt::tools
