#include "io/household/supplies.hpp"

#include <algorithm>
#include <filesystem>
#include <string>
#include <utility>

#include <fmt/format.h>

#include "core/tariff/own_clock.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "io/zone/zone.hpp"

namespace lullwatt::io {
namespace {

using tariff::DemandCharge;
using tariff::FixedCharge;
using tariff::Tariff;

// A figure of the household's that charges may go by.
struct Figure {
    const char* key;
    const char* words;
    const char* allowed;
    const char* sample;
};
constexpr Figure kFuse{"fuse", "the main fuse", "whole amperes", "25 A"};
constexpr Figure kContracted{"contracted_power", "the power ordered", "a power", "9 kW"};
constexpr Figure kGivenPeak{"given_peak", "a peak the utility states", "a power", "4.2 kW"};

Fault missing(const SiteFile& site, std::size_t contract, const Figure& figure, const std::string& charge) {
    const bool listed = site.as_written.stated("contracts");
    const std::string sample = fmt::format("{}: {}", figure.key, figure.sample);
    return contract_fault(
        site.as_written, contract, figure.key,
        listed ? fmt::format("is missing: the tariff's '{}' goes by it", charge)
               : fmt::format("has a charge, '{}', by {}, which is stated nowhere", charge, figure.words),
        listed ? figure.allowed : fmt::format("a contract that states {}", figure.key),
        listed ? fmt::format("add '{}' with the household's own figure", sample)
               : fmt::format("write the tariff as a contract, with '{}'", sample));
}

// The charges that go by each figure, the first of each that does.
struct GoingBy {
    const FixedCharge* fuse = nullptr;
    const std::string* contracted = nullptr;
    const std::string* given_peak = nullptr;
};

bool by_fuse(const FixedCharge& charge) {
    return !charge.by_fuse.empty() || charge.each == FixedCharge::Each::ampere_of_fuse;
}

GoingBy going_by(const Tariff& tariff) {
    GoingBy found;
    const auto first = [](auto& place, const auto& one) {
        if (place == nullptr) place = &one;
    };
    for (const tariff::Revision& revision : tariff.revisions) {
        for (const FixedCharge& charge : revision.fixed) {
            if (by_fuse(charge)) first(found.fuse, charge);
            if (charge.each == FixedCharge::Each::contracted_kilowatt) first(found.contracted, charge.name);
        }
        for (const DemandCharge& charge : revision.demand) {
            if (charge.measure == DemandCharge::Measure::contracted) first(found.contracted, charge.name);
            if (charge.measure == DemandCharge::Measure::given) first(found.given_peak, charge.name);
        }
    }
    return found;
}

void check_fuse_has_amounts(const SiteFile& site, std::size_t contract, const Tariff& tariff,
                            Faults& faults) {
    const WholeAmps fuse = *site.contracts[contract].terms.fuse;
    for (const tariff::Revision& revision : tariff.revisions) {
        for (const FixedCharge& charge : revision.fixed) {
            if (charge.by_fuse.empty() || fuse <= charge.by_fuse.back().up_to) continue;
            faults.push_back(contract_fault(
                site.as_written, contract, "fuse",
                fmt::format("is above every fuse the tariff's '{}' has an amount for", charge.name),
                fmt::format("at most {} A", charge.by_fuse.back().up_to.count()),
                "correct it, or add the amount to the tariff"));
            return;
        }
    }
}

void check_terms(const SiteFile& site, std::size_t contract, const Tariff& tariff, Faults& faults) {
    const account::Terms& terms = site.contracts[contract].terms;
    const GoingBy by = going_by(tariff);
    if (by.fuse != nullptr && !terms.fuse) faults.push_back(missing(site, contract, kFuse, by.fuse->name));
    if (terms.fuse) check_fuse_has_amounts(site, contract, tariff, faults);
    if (by.contracted != nullptr && !terms.contracted)
        faults.push_back(missing(site, contract, kContracted, *by.contracted));
    if (by.given_peak != nullptr && !terms.given_peak)
        faults.push_back(missing(site, contract, kGivenPeak, *by.given_peak));
}

void check_currency(const SiteFile& site, std::size_t contract, const Tariff& tariff, Faults& faults) {
    if (tariff.currency == site.currency) return;
    faults.push_back(
        contract_fault(site.as_written, contract, "tariff",
                       fmt::format("is in {}, and the site in {}", tariff.currency, site.currency),
                       "the same currency in both files", "correct one of them"));
}

std::optional<Zone> read_clock(const Tariff& tariff, const std::filesystem::path& file, const Zone& site_zone,
                               Interval needed, Instant now, Faults& faults) {
    if (auto own = tariff::own_clock(tariff, needed)) return own;
    const auto* name = std::get_if<std::string>(&tariff.clock);
    if (name == nullptr) return site_zone;
    auto zone = load_zone(*name, needed, now);
    if (zone.ok()) return std::move(zone).value();
    for (Fault fault : zone.faults()) {
        fault.file = file.string();
        faults.push_back(std::move(fault));
    }
    return std::nullopt;
}

// Two contracts may name one tariff; what is wrong in it is told once.
bool named_before(const std::vector<Contract>& contracts, std::size_t contract) {
    const auto end = contracts.begin() + static_cast<std::ptrdiff_t>(contract);
    return std::find_if(contracts.begin(), end, [&](const Contract& other) {
               return other.tariff == contracts[contract].tariff;
           }) != end;
}

}  // namespace

std::vector<Tariff> read_tariffs(const SiteFile& site, Faults& faults) {
    std::vector<Tariff> tariffs;
    for (std::size_t i = 0; i < site.contracts.size(); ++i) {
        auto read = read_tariff_file(site.contracts[i].tariff);
        if (!read.ok()) {
            if (!named_before(site.contracts, i))
                faults.insert(faults.end(), read.faults().begin(), read.faults().end());
            continue;
        }
        tariffs.push_back(std::move(read).value());
        check_currency(site, i, tariffs.back(), faults);
        check_terms(site, i, tariffs.back(), faults);
    }
    return tariffs;
}

Tariff billed_by(const Contract& contract, Tariff tariff) {
    tariff.bills = contract.bills;
    for (tariff::Revision& revision : tariff.revisions)
        revision.taxes.insert(revision.taxes.end(), contract.taxes.begin(), contract.taxes.end());
    return tariff;
}

std::vector<Supply> supplies_of(const SiteFile& site, std::vector<Tariff> tariffs, const Zone& site_zone,
                                Interval needed, Instant now, Faults& faults) {
    std::vector<Supply> supplies;
    for (std::size_t i = 0; i < site.contracts.size(); ++i) {
        const Contract& contract = site.contracts[i];
        auto clock = read_clock(tariffs[i], contract.tariff, site_zone, needed, now, faults);
        if (!clock) continue;
        supplies.push_back({contract, billed_by(contract, std::move(tariffs[i])), *std::move(clock)});
    }
    return supplies;
}

}  // namespace lullwatt::io
