// What the readers of a tariff file's charges share: values as they are written, and names that must exist.
//
// Pure functions; call from any thread.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "core/tariff/tariff.hpp"
#include "io/settings/section.hpp"

namespace lullwatt::io {

// Leaves `into` as it is where the key could not be read.
template <class Value>
void take(const Section& section, std::string_view key, Value& into) {
    if (const auto* value = section.find<Value>(key)) into = *value;
}

// Words of a choice in the order of the enumeration they stand for.
template <class Enumeration, std::size_t N>
void take_choice(const Section& section, std::string_view key, const std::array<std::string_view, N>& words,
                 Enumeration& into) {
    const auto* word = section.find<std::string>(key);
    if (word == nullptr) return;
    const auto found = std::ranges::find(words, *word);
    if (found != words.end()) into = static_cast<Enumeration>(found - words.begin());
}

// In the order of tariff::Per.
inline constexpr std::array<std::string_view, 4> kPerWords = {"bill", "month", "day", "year"};

void take_percent(const Section& section, std::string_view key, std::int64_t& millionths);
void take_loss_factor(const Section& section, std::int64_t& into);

// A day that comes every year, so not the leap day.
void take_yearly_day(const Section& section, std::string_view key, date::month_day& into, Faults& faults);

// The texts of a list.
[[nodiscard]] std::vector<std::string> texts(const Section& section, std::string_view key);

// Tells names in a list that are none of `known`; `what` they should be: "window".
void check_names(const Section& section, std::string_view key, const std::vector<std::string>& known,
                 std::string_view what, Faults& faults);

// Indices into Tariff::seasons of the names in the list `seasons`. A season of several parts is listed once
// for each, under one name.
[[nodiscard]] std::vector<std::size_t> season_indices(const Section& section, const tariff::Tariff& tariff,
                                                      Faults& faults);

// Asks whether cents were written for whole units. An adder is taken by its size, as a window is: the slip is
// the same there.
void check_magnitude(const Section& section, std::string_view key, const Section& file, Faults& faults);
// The same of an adder at all hours.
void check_adder_magnitude(const Section& section, const Section& file, Faults& faults);
// The same of an `amount` where it is `per: day`.
void check_day_magnitude(const Section& section, const Section& file, Faults& faults);

// Limits ascend, every step but the last has one, the last has none.
template <class Limit>
void check_steps(const Section& charge, const std::vector<Section>& steps, Faults& faults) {
    if (charge.stated("steps") && steps.empty())
        faults.push_back(charge.fault("steps", "is an empty list", "at least one step", "add one"));
    const Limit* above = nullptr;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const Limit* limit = steps[i].template find<Limit>("up_to");
        const bool last = i + 1 == steps.size();
        if (last && steps[i].stated("up_to"))
            faults.push_back(steps[i].fault("up_to", "ends the last step, so more than this has no price", "",
                                            "leave it out, or add a step for the rest"));
        if (!last && !steps[i].stated("up_to"))
            faults.push_back(steps[i].fault("", "has no 'up_to', so the steps below it never count", "",
                                            "say where it ends"));
        if (limit != nullptr && above != nullptr && *limit <= *above)
            faults.push_back(steps[i].fault("up_to", "is not above the step before it", "ascending limits",
                                            "put the steps in order"));
        if (limit != nullptr) above = limit;
    }
}

}  // namespace lullwatt::io
