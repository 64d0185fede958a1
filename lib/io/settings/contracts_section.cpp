#include "io/settings/contracts_section.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "io/settings/site_tree.hpp"

namespace lullwatt::io {
namespace {

constexpr int kLongestBill = 800;  // days; ours: what is longer is a slip of the year

void read_reads(const Section& section, tariff::BillDates& bills, Faults& faults) {
    check_not_empty(section, "reads", "at least one day", "name the days, or leave it out", faults);
    const auto& elements = section.list("reads");
    for (std::size_t i = 0; i < elements.size(); ++i) {
        const auto day = std::get<CivilDate>(elements[i].value);
        if (!bills.reads.empty()) {
            const CivilDate before = bills.reads.back();
            const int days = tariff::DateSpan{before, day}.days();
            if (days <= 0 || days > kLongestBill) {
                faults.push_back(section.element_fault(
                    "reads", i,
                    days <= 0 ? "is not after the one before it"
                              : fmt::format("is {} days after the one before it", days),
                    fmt::format("a day 1 to {} days after it", kLongestBill),
                    days <= 0 ? "put the days in order, each once" : "look at the year"));
            }
        }
        bills.reads.push_back(day);
    }
}

tariff::BillDates read_bills(const Section& section, Faults& faults) {
    tariff::BillDates bills;
    read_reads(section, bills, faults);
    // What no rule says goes on from the last reading.
    if (!bills.reads.empty()) {
        bills.day = static_cast<unsigned>(bills.reads.back().day());
        bills.first_month = static_cast<unsigned>(bills.reads.back().month());
    }
    for (const Section& rule : section.sections("bills")) {
        const auto* day = rule.find<long long>("day");
        if (day != nullptr && (rule.stated("day") || bills.reads.empty()))
            bills.day = static_cast<unsigned>(*day);
        // "3 months"
        if (const auto* every = rule.find<std::string>("every")) bills.months = std::stoi(*every);
        const auto* month = rule.find<long long>("from_month");
        if (month != nullptr && (rule.stated("from_month") || bills.reads.empty()))
            bills.first_month = static_cast<unsigned>(*month);
    }
    return bills;
}

// Amounts by the month would be taken once for bills that stand for several.
void check_length_said(const Section& section, const tariff::BillDates& bills, Faults& faults) {
    if (section.stated("bills") || section.stated("months") || bills.reads.size() < 2) return;
    std::vector<int> days;
    for (std::size_t i = 1; i < bills.reads.size(); ++i)
        days.push_back(tariff::DateSpan{bills.reads[i - 1], bills.reads[i]}.days());
    const auto middle = days.begin() + static_cast<std::ptrdiff_t>(days.size() / 2);
    std::ranges::nth_element(days, middle);
    const long months = std::lround(*middle / (365.25 / 12));
    if (months <= 1) return;
    faults.push_back(section.fault(
        "reads",
        fmt::format("are about {} months apart, and nothing says how many a bill stands for", months),
        "bills with every, or months, beside them",
        12 % months == 0 ? fmt::format("add 'bills: {{every: {} months}}'", months)
                         : std::string("add 'months', and look at the days again")));
}

account::Terms read_terms(const Section& section, const tariff::BillDates& bills) {
    account::Terms terms;
    if (const auto* fuse = section.find<WholeAmps>("fuse")) terms.fuse = *fuse;
    if (const auto* power = section.find<Milliwatts>("contracted_power")) terms.contracted = *power;
    if (const auto* peak = section.find<Milliwatts>("given_peak")) terms.given_peak = *peak;
    const auto* months = section.find<long long>("months");
    terms.months = months == nullptr ? bills.months : static_cast<int>(*months);
    return terms;
}

std::vector<tariff::Percentage> read_taxes(const Section& section) {
    std::vector<tariff::Percentage> taxes;
    for (const Section& tax : section.sections("taxes")) {
        if (!tax.has("name") || !tax.has("percent")) continue;
        taxes.push_back(
            {tax.get<std::string>("name"), std::llround(tax.get<Percent>("percent").percent * 10'000)});
    }
    return taxes;
}

Contract read_contract(const Section& section, const site::Site& site, const std::vector<Contract>& before,
                       const std::filesystem::path& folder, Faults& faults) {
    Contract contract;
    if (const auto* name = section.find<std::string>("name")) {
        contract.name = *name;
        if (std::ranges::find(before, *name, &Contract::name) != before.end())
            faults.push_back(
                section.fault("name", "is used twice", "a name of its own", "rename one of the two"));
    }
    if (const auto* tariff = section.find<std::string>("tariff")) contract.tariff = folder / *tariff;
    std::vector<std::string> nodes;
    for (const auto& node : site.nodes) nodes.push_back(node.name);
    if (section.stated("node"))
        contract.node = read_reference(section, "node", nodes, "node", faults).value_or(0);
    contract.bills = read_bills(section, faults);
    check_length_said(section, contract.bills, faults);
    contract.terms = read_terms(section, contract.bills);
    contract.taxes = read_taxes(section);
    if (const auto* factor = section.find<Factor>("multiplier")) contract.multiplier = factor->millionths;
    return contract;
}

// Silence is a fault only of a file that says something else.
bool says_anything(const Section& file) {
    constexpr std::array<std::string_view, 5> kKeys = {"format", "site", "service", "points", "loads"};
    return std::ranges::any_of(kKeys, [&](std::string_view key) { return file.stated(key); });
}

}  // namespace

std::vector<Contract> read_contracts(const Section& file, const site::Site& site,
                                     const std::filesystem::path& folder, Faults& faults) {
    std::vector<Contract> contracts;
    if (!file.stated("contracts")) {
        if (const auto* tariff = file.find<std::string>("tariff")) {
            contracts.push_back({.name = "household", .tariff = folder / *tariff});
        } else if (!file.stated("tariff") && says_anything(file)) {
            faults.push_back(
                file.fault("tariff", "is missing", "a file name, or contracts in its place", "add it"));
        }
        return contracts;
    }
    if (file.stated("tariff")) {
        faults.push_back(file.fault("tariff", "stands beside 'contracts'", "one of the two",
                                    "make it the tariff of a contract, and remove it here"));
    }
    for (const Section& section : file.sections("contracts"))
        contracts.push_back(read_contract(section, site, contracts, folder, faults));
    const bool told =
        std::ranges::any_of(faults, [](const Fault& fault) { return fault.key == "contracts"; });
    if (contracts.empty() && !told) {
        faults.push_back(file.fault("contracts", "is an empty list", "at least one contract",
                                    "add it, or name the tariff with 'tariff: FILE' instead"));
    }
    return contracts;
}

void check_all_billed(const Section& file, const site::Site& site, const std::vector<Contract>& contracts,
                      Faults& faults) {
    for (const site::Point& point : site.points) {
        if (!contracts_at(contracts, site, point.circuit).empty()) continue;
        faults.push_back(file.fault(
            "contracts", fmt::format("bill nothing that {} takes: no meter is on its way", point.name),
            fmt::format("a contract whose node is {} or above it", site.nodes[point.circuit].name),
            fmt::format("add one, such as that of {}", site.nodes.front().name)));
    }
}

std::vector<std::size_t> contracts_at(const std::vector<Contract>& contracts, const site::Site& site,
                                      std::size_t node) {
    for (std::optional<std::size_t> at = node; at; at = site.nodes[*at].parent) {
        std::vector<std::size_t> found;
        for (std::size_t i = 0; i < contracts.size(); ++i) {
            if (contracts[i].node == *at) found.push_back(i);
        }
        if (!found.empty()) return found;
    }
    return {};
}

Fault contract_fault(const Section& file, std::size_t contract, std::string_view key, std::string what,
                     std::string allowed, std::string mend) {
    if (!file.stated("contracts"))
        return file.fault("tariff", std::move(what), std::move(allowed), std::move(mend));
    return file.sections("contracts")[contract].fault(key, std::move(what), std::move(allowed),
                                                      std::move(mend));
}

}  // namespace lullwatt::io
