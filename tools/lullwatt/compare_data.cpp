// Compared tariffs for machines: JSON and CSV.
#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "tools/lullwatt/compare_text.hpp"
#include "tools/lullwatt/faults_json.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

using Json = nlohmann::ordered_json;

Json tariff_json(const ComparedTariff& tariff, const ComparedTariff& now, int digits) {
    Json one{{"file", tariff.file}, {"name", tariff.name}, {"present", &tariff == &now}};
    if (!tariff.refused.empty()) {
        one["refused"] = Json::parse(faults_json(tariff.refused));
        return one;
    }
    one["cost"] = amount_text(tariff.year.total, digits);
    one["than_now"] = amount_text(tariff.year.total - now.year.total, digits);
    if (tariff.cars) one["cars"] = amount_text(tariff.cars_in_all(), digits);
    for (std::size_t share = 0; share < account::kShareCount; ++share)
        one["shares"][share_words(static_cast<account::Share>(share))] =
            amount_text(tariff.year.by_share[share], digits);
    for (const Money bill : tariff.year.bills) one["bills"].push_back(amount_text(bill, digits));
    one["ranked"] = !tariff.is_guess();
    one["assumed"] = tariff.year.assumed;
    one["assumed_kwh"] = decimal_text(tariff.assumed.count(), 6);
    one["assumed_percent"] = percent_text(tariff.assumed_share());
    one["begun_midway"] = tariff.begun_midway;
    return one;
}

// RFC 4180.
std::string field(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == text.npos) return text;
    std::string quoted = "\"";
    for (const char c : text) quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
    return quoted + "\"";
}

}  // namespace

std::string compare_json(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    Json list = Json::array();
    for (const std::size_t i : ranked(tariffs))
        list.push_back(tariff_json(tariffs[i], tariffs.front(), words.digits));
    Json left_out = Json::array();
    for (const auto& span : words.left_out)
        left_out.push_back({{"from", day_text(span.from)}, {"to", day_text(span.to)}});
    const Seconds bare = tariffs.front().without_readings;
    return Json{{"from", day_text(words.spans.front().from)},
                {"to", day_text(words.spans.back().to)},
                {"bills", words.spans.size()},
                {"left_out", left_out},
                {"prices_of", words.prices_of},
                {"currency", words.currency},
                {"taken_kwh", decimal_text(tariffs.front().year.taken.count(), 6)},
                {"hours_without_readings", static_cast<double>(bare.count()) / 3600},
                {"tariffs", list},
                {"warnings", Json::parse(faults_json(words.warnings))}}
        .dump(2);
}

std::string compare_csv(const std::vector<ComparedTariff>& tariffs, const CompareWords& words) {
    std::string text = "file,bill_from,bill_to,cost,cars,refused\n";
    for (const std::size_t i : ranked(tariffs)) {
        const ComparedTariff& tariff = tariffs[i];
        for (const io::Fault& fault : tariff.refused)
            text += fmt::format("{},,,,,{}\n", field(tariff.file), field(io::text(fault)));
        for (std::size_t bill = 0; bill < tariff.year.bills.size(); ++bill) {
            text += fmt::format("{},{},{},{},{},\n", field(tariff.file), day_text(words.spans[bill].from),
                                day_text(words.spans[bill].to),
                                amount_text(tariff.year.bills[bill], words.digits),
                                tariff.cars ? amount_text((*tariff.cars)[bill], words.digits) : "");
        }
    }
    return text;
}

}  // namespace lullwatt::tools
