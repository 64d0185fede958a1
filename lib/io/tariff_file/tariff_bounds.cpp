#include "io/tariff_file/tariff_bounds.hpp"

#include <algorithm>
#include <cmath>

namespace lullwatt::io {
namespace {

using tariff::Revision;
using tariff::Tariff;

constexpr double kMost = 1'000'000;  // of the currency, per kWh, per kW, or in amounts
constexpr double kGrowth = 10;       // what percentages, or a charge's factors, may make of one

double size(Rate rate) { return std::abs(static_cast<double>(rate.count())) / 1e12; }
double size(DemandRate rate) { return std::abs(static_cast<double>(rate.count())) / 1e12; }
double size(Money money) { return std::abs(static_cast<double>(money.count())) / 1e6; }

// The dearest hour, with every part that could be added to it.
double per_kilowatt_hour(const Tariff& tariff, const Revision& revision) {
    double dearest = 0;
    for (const auto& window : revision.windows)
        dearest = std::max({dearest, size(window.rate), size(window.export_rate.value_or(Rate{}))});
    for (const auto& order : tariff.overrides) dearest = std::max(dearest, size(order.rate.value_or(Rate{})));
    if (tariff.announced) {
        dearest = std::max(dearest, size(tariff.announced->fallback));
        for (const auto& price : tariff.announced->prices) dearest = std::max(dearest, size(price.rate));
    }
    if (revision.exported) {
        dearest = std::max({dearest, size(revision.exported->rate.value_or(Rate{})),
                            size(revision.exported->settled_at.value_or(Rate{}))});
    }
    for (const auto& adder : revision.adders) dearest += size(adder.rate);
    for (const auto& block : revision.blocks) {
        double step = 0;
        for (const auto& each : block.steps) step = std::max(step, size(each.rate));
        dearest += step;
    }
    return dearest;
}

double per_kilowatt(const Revision& revision) {
    double sum = 0;
    for (const auto& charge : revision.demand) {
        for (const auto& step : charge.steps) sum += size(step.rate);
    }
    return sum;
}

double amounts(const Revision& revision) {
    double sum = 0;
    for (const auto& charge : revision.fixed) {
        sum += size(charge.amount);
        for (const auto& fuse : charge.by_fuse) sum += size(fuse.amount);
    }
    for (const auto& minimum : revision.minimums) sum += size(minimum.amount);
    for (const auto& charge : revision.demand) {
        for (const auto& step : charge.steps) sum += size(step.amount.value_or(Money{}));
    }
    return sum;
}

// At most what all percentages make of a sum: each as if it were of all lines above it.
double growth(const Revision& revision) {
    double product = 1;
    for (const auto* percentages : {&revision.riders, &revision.taxes}) {
        for (const auto& each : *percentages)
            product *= 1 + std::abs(static_cast<double>(each.millionths)) / 1e6;
    }
    return product;
}

double factor(const tariff::DemandCharge& charge) {
    double product = 1;
    for (const auto each : charge.factors) product *= std::max(1.0, static_cast<double>(each) / 1e6);
    return product;
}

void check_factors(const Section& section, const Revision& revision, Faults& faults) {
    const auto& charges = section.sections("demand");
    for (std::size_t i = 0; i < charges.size(); ++i) {
        if (factor(revision.demand[i]) <= kGrowth) continue;
        faults.push_back(charges[i].fault("factors", "multiply to more than ten", "a product of at most 10",
                                          "look for a lost decimal point"));
    }
}

}  // namespace

void check_bounds(const Section& file, const Tariff& tariff, Faults& faults) {
    const auto& sections = file.sections("revisions");
    for (std::size_t i = 0; i < tariff.revisions.size(); ++i) {
        const Revision& revision = tariff.revisions[i];
        const double grows = growth(revision);
        const auto tell = [&](const char* what, const char* allowed) {
            faults.push_back(sections[i].fault("", what, allowed, "look for a lost decimal point"));
        };
        if (grows > kGrowth)
            tell("has percentages that make more than ten times of a sum", "riders and taxes below that");
        if (per_kilowatt_hour(tariff, revision) * std::min(grows, kGrowth) > kMost)
            tell("adds up to more than a million per kWh", "prices, adders and taxes below that together");
        if (per_kilowatt(revision) > kMost)
            tell("adds up to more than a million per kW", "prices of demand below that together");
        if (amounts(revision) > kMost)
            tell("adds up to more than a million in amounts", "amounts and minimums below that together");
        check_factors(sections[i], revision, faults);
    }
}

}  // namespace lullwatt::io
