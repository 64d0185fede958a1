#include "tools/lullwatt/compare_text.hpp"

#include <algorithm>
#include <array>
#include <numeric>

#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace lullwatt::tools {
namespace {

constexpr std::array<const char*, account::kShareCount> kShares = {
    "prices by the hour",        "blocks", "demand", "fixed charges", "energy given back",
    "riders, taxes and rounding"};

std::string day_text(CivilDate date) { return date::format("%F", date::sys_days{date}); }

std::string money(Money amount, int digits) { return decimal_text(amount.count(), 6, digits); }

// "+12.30", "-4.00".
std::string signed_money(Money amount, int digits) {
    return (amount > Money(0) ? "+" : "") + money(amount, digits);
}

// Cheapest first; those without a year last.
std::vector<std::size_t> ranked(const std::vector<ComparedTariff>& tariffs) {
    std::vector<std::size_t> order(tariffs.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::ranges::stable_sort(order, {}, [&](std::size_t i) {
        return std::pair(!tariffs[i].refused.empty(), tariffs[i].year.total);
    });
    return order;
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
    if (words.without_readings > Seconds{0}) {
        text += fmt::format("NOT COVERED: {:g} hours have no readings.\n",
                            static_cast<double>(words.without_readings.count()) / 3600);
    }
    return text;
}

std::string ranking(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    const bool cars = tariffs.front().cars.has_value();
    std::string text = fmt::format("\n      {:>10}  {:>10}  {}tariff\n", "cost", "than now",
                                   cars ? fmt::format("{:>10}  ", "of it cars") : "");
    int rank = 0;
    for (const std::size_t i : ranked(tariffs)) {
        const ComparedTariff& tariff = tariffs[i];
        if (!tariff.refused.empty()) continue;
        const Money more = tariff.year.total - tariffs.front().year.total;
        text += fmt::format(
            "  {:>2}. {:>10}  {:>10}  {}{}{}\n", ++rank, money(tariff.year.total, words.digits),
            i == 0 ? "now" : signed_money(more, words.digits),
            cars ? fmt::format("{:>10}  ", money(tariff.cars.value_or(Money(0)), words.digits)) : "",
            tariff.name, tariff.year.assumed ? " (some of its prices are assumed)" : "");
    }
    for (const ComparedTariff& tariff : tariffs) {
        if (!tariff.refused.empty()) text += fmt::format("   -  {}: {}\n", tariff.file, tariff.refused);
    }
    return text;
}

std::string reasons(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    std::string text;
    for (const std::size_t i : ranked(tariffs)) {
        if (i == 0 || !tariffs[i].refused.empty()) continue;
        std::string list;
        for (const account::Driver& driver : account::drivers(tariffs.front().year, tariffs[i].year)) {
            list += fmt::format("{}{} {}", list.empty() ? "" : ", ", signed_money(driver.more, words.digits),
                                kShares[static_cast<std::size_t>(driver.share)]);
        }
        text += fmt::format("  {}: {}\n", tariffs[i].name, list.empty() ? "nothing" : list);
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
                                   day_text(words.spans.front().from), money(highest, words.digits));
    for (const std::size_t i : ranked(tariffs)) {
        if (tariffs[i].refused.empty())
            text +=
                fmt::format("  {:<{}}  {}\n", tariffs[i].name, width, bars(tariffs[i].year.bills, highest));
    }
    return text;
}

}  // namespace

std::string compare_text(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    return head(tariffs, words) + ranking(tariffs, words) + reasons(tariffs, words) + months(tariffs, words) +
           "\nThe hours of this usage, the cars' above all, were chosen under the present tariff; under "
           "another the\n"
           "cars could be charged at other hours, and it could cost less than it says here.\n";
}

std::string compare_json(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const std::size_t i : ranked(tariffs)) {
        const ComparedTariff& tariff = tariffs[i];
        nlohmann::ordered_json one{{"file", tariff.file}, {"name", tariff.name}, {"present", i == 0}};
        if (!tariff.refused.empty()) {
            one["refused"] = tariff.refused;
            list.push_back(std::move(one));
            continue;
        }
        one["cost"] = money(tariff.year.total, words.digits);
        one["than_now"] = money(tariff.year.total - tariffs.front().year.total, words.digits);
        if (tariff.cars) one["cars"] = money(*tariff.cars, words.digits);
        for (std::size_t share = 0; share < account::kShareCount; ++share)
            one["shares"][kShares[share]] = money(tariff.year.by_share[share], words.digits);
        for (const Money bill : tariff.year.bills) one["bills"].push_back(money(bill, words.digits));
        one["assumed"] = tariff.year.assumed;
        list.push_back(std::move(one));
    }
    return nlohmann::ordered_json{
        {"from", day_text(words.spans.front().from)},
        {"to", day_text(words.spans.back().to)},
        {"bills", words.spans.size()},
        {"prices_of", words.prices_of},
        {"currency", words.currency},
        {"taken_kwh", decimal_text(tariffs.front().year.taken.count(), 6)},
        {"hours_without_readings", static_cast<double>(words.without_readings.count()) / 3600},
        {"tariffs", list}}
        .dump(2);
}

std::string compare_csv(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    std::string text = "file,bill_from,bill_to,cost\n";
    for (const std::size_t i : ranked(tariffs)) {
        for (std::size_t bill = 0; bill < tariffs[i].year.bills.size(); ++bill) {
            text +=
                fmt::format("{},{},{},{}\n", tariffs[i].file, day_text(words.spans[bill].from),
                            day_text(words.spans[bill].to), money(tariffs[i].year.bills[bill], words.digits));
        }
    }
    return text;
}

}  // namespace lullwatt::tools
