#include "tools/lullwatt/compare_text.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <tuple>

#include <date/date.h>
#include <fmt/format.h>

#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

constexpr double kGuess = 0.10;  // ours: of the energy

constexpr std::array<const char*, account::kShareCount> kShares = {
    "price per kWh", "blocks", "demand", "fixed charges", "energy given back", "riders, taxes and rounding"};

// "+12.30", "-4.00".
std::string signed_money(Money amount, int digits) {
    return (amount > Money(0) ? "+" : "") + amount_text(amount, digits);
}

// Each bill a bar of eighths, as high as its part of the dearest one of all.
std::string bars(const std::vector<Money>& bills, Money highest) {
    constexpr std::array<const char*, 8> kBars = {"▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
    std::string text;
    for (const Money bill : bills) {
        const std::int64_t eighths =
            highest <= Money(0) ? 0 : std::clamp<std::int64_t>(bill.count() * 8 / highest.count(), 0, 7);
        text += kBars[static_cast<std::size_t>(eighths)];
    }
    return text;
}

std::string head(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    const std::size_t count = words.spans.size();
    std::string text = fmt::format(
        "{} {}, {} to {}, {} kWh, at the prices of {}, {}.\n", count, count == 1 ? "bill" : "bills",
        day_text(words.spans.front().from), day_text(words.spans.back().last()),
        decimal_text(tariffs.front().year.taken.count(), 6), words.prices_of, words.currency);
    int days = 0;
    for (const auto& span : words.spans) days += span.days();
    if (days < 360) {
        text +=
            fmt::format("NOT A YEAR: {} days only; seasons these days do not hold are not in it.\n", days);
    }
    const Seconds bare = tariffs.front().without_readings;
    if (bare > Seconds{0}) {
        text +=
            fmt::format("NOT COVERED: {:g} h have no readings.\n", static_cast<double>(bare.count()) / 3600);
    }
    for (const auto& span : words.left_out) {
        text += fmt::format("LEFT OUT: {} to {}, which make no whole bill.\n", day_text(span.from),
                            day_text(span.last()));
    }
    return text;
}

std::string row(const ComparedTariff& tariff, const std::string& place, const std::string& more, int digits) {
    const std::string cars =
        tariff.cars ? fmt::format("{:>10}  ", amount_text(tariff.cars_in_all(), digits)) : "";
    return fmt::format("  {:>3} {:>10}  {:>10}  {}{}\n", place, amount_text(tariff.year.total, digits), more,
                       cars, tariff.name);
}

std::string assumed_text(const ComparedTariff& tariff) {
    if (!tariff.year.assumed) return "";
    return fmt::format("ASSUMED: {} of {} kWh ({} %) of {} are at prices nobody has announced{}.\n",
                       decimal_text(tariff.assumed.count(), 6), decimal_text(tariff.year.taken.count(), 6),
                       percent_text(tariff.assumed_share()), tariff.name,
                       tariff.is_guess() ? ", so it has no place in the ranking" : "");
}

std::string midway_text(const ComparedTariff& tariff, CivilDate begin) {
    if (tariff.begun_midway.empty()) return "";
    return fmt::format(
        "BEGUN MIDWAY: {} counts earlier bills ({});\n  those before {} are not known and count as "
        "nothing.\n",
        tariff.name, fmt::join(tariff.begun_midway, ", "), day_text(begin));
}

std::string ranking(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    std::string text = fmt::format("\n      {:>10}  {:>10}  {}tariff\n", "cost", "than now",
                                   tariffs.front().cars ? fmt::format("{:>10}  ", "cars' part") : "");
    std::string notes;
    int rank = 0;
    for (const std::size_t i : ranked(tariffs)) {
        const ComparedTariff& tariff = tariffs[i];
        if (!tariff.refused.empty()) continue;
        const Money more = tariff.year.total - tariffs.front().year.total;
        text += row(tariff, tariff.is_guess() ? "~ " : fmt::format("{}.", ++rank),
                    i == 0 ? "now" : signed_money(more, words.digits), words.digits);
        notes += assumed_text(tariff) + midway_text(tariff, words.spans.front().from);
    }
    for (const ComparedTariff& tariff : tariffs) {
        for (const io::Fault& fault : tariff.refused) text += fmt::format("   -  {}\n", io::text(fault));
    }
    return text + notes;
}

// Parts joined by commas, in lines of at most 110 columns.
std::string wrapped(const std::string& head, const std::vector<std::string>& parts) {
    constexpr std::size_t kColumns = 110;
    if (parts.empty()) return head + "nothing\n";
    std::string text = head;
    std::size_t column = head.size();
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const std::string part = parts[i] + (i + 1 < parts.size() ? "," : "");
        if (i > 0 && column + 1 + part.size() > kColumns) {
            text += "\n     ";
            column = 5;
        }
        text += (i > 0 ? " " : "") + part;
        column += part.size() + 1;
    }
    return text + "\n";
}

std::string reasons(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    std::string text;
    for (const std::size_t i : ranked(tariffs)) {
        if (i == 0 || !tariffs[i].refused.empty()) continue;
        std::vector<std::string> parts;
        for (const account::Driver& driver : account::drivers(tariffs.front().year, tariffs[i].year))
            parts.push_back(signed_money(driver.more, words.digits) + " " + share_words(driver.share));
        text += wrapped("  " + tariffs[i].name + ": ", parts);
    }
    return text.empty() ? "" : "\nWhat makes the difference from now:\n" + text;
}

std::string months(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    Money highest;
    std::size_t width = 0;
    for (const ComparedTariff& tariff : tariffs) {
        for (const Money bill : tariff.year.bills) highest = std::max(highest, bill);
        width = std::max(width, tariff.name.size());
    }
    std::string text = fmt::format("\nBill by bill from {}; a full bar is {}:\n",
                                   day_text(words.spans.front().from), amount_text(highest, words.digits));
    for (const std::size_t i : ranked(tariffs)) {
        if (tariffs[i].refused.empty())
            text +=
                fmt::format("  {:<{}}  {}\n", tariffs[i].name, width, bars(tariffs[i].year.bills, highest));
    }
    return text;
}

}  // namespace

Money ComparedTariff::cars_in_all() const {
    Money sum;
    for (const Money bill : cars.value_or(std::vector<Money>{})) sum += bill;
    return sum;
}

double ComparedTariff::assumed_share() const {
    if (year.taken <= MilliwattHours(0)) return 0;
    return static_cast<double>(assumed.count()) / static_cast<double>(year.taken.count());
}

bool ComparedTariff::is_guess() const { return assumed_share() > kGuess; }

const char* share_words(account::Share share) { return kShares[static_cast<std::size_t>(share)]; }

std::string percent_text(double share) { return fmt::format("{:.1f}", share * 100); }

std::vector<std::size_t> ranked(const std::vector<ComparedTariff>& tariffs) {
    std::vector<std::size_t> order(tariffs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) {
        return std::tuple(!tariffs[i].refused.empty(), tariffs[i].is_guess(), tariffs[i].year.total);
    });
    return order;
}

std::string compare_text(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    return head(tariffs, words) + ranking(tariffs, words) + reasons(tariffs, words) + months(tariffs, words) +
           "\nThe hours of this usage, the cars' above all, were chosen under the present tariff; under "
           "another the\n"
           "cars could be charged at other hours, and it could cost less than it says here.\n";
}

}  // namespace lullwatt::tools
