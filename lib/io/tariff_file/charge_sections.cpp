#include "io/tariff_file/charge_sections.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "io/tariff_file/charge_words.hpp"
#include "io/tariff_file/line_lists.hpp"

namespace lullwatt::io {
namespace {

using tariff::BlockCharge;
using tariff::Export;
using tariff::FixedCharge;
using tariff::Per;
using tariff::Tariff;

std::vector<std::string> window_names(const tariff::Revision& revision, const ChargeContext& context) {
    std::vector<std::string> names;
    for (const auto& window : revision.windows) names.push_back(window.name);
    for (const Section& order : context.file.sections("overrides")) {
        if (order.has("name")) names.push_back(order.get<std::string>("name"));
    }
    return names;
}

tariff::Adder read_adder(const Section& section, const ChargeContext& context,
                         const tariff::Revision& revision, Faults& faults) {
    check_adder_magnitude(section, context.file, faults);
    tariff::Adder adder;
    take(section, "name", adder.name);
    take(section, "per_kwh", adder.rate);
    take(section, "on_all_taken", adder.on_all_taken);
    take_loss_factor(section, adder.loss_factor);
    adder.windows = texts(section, "windows");
    if (!context.file.stated("prices_from"))
        check_names(section, "windows", window_names(revision, context), "window", faults);
    adder.seasons = season_indices(section, context.tariff, faults);
    return adder;
}

BlockCharge read_block(const Section& section, const ChargeContext& context, const tariff::Revision& revision,
                       Faults& faults) {
    BlockCharge block;
    take(section, "name", block.name);
    block.windows = texts(section, "windows");
    check_names(section, "windows", window_names(revision, context), "window", faults);
    block.seasons = season_indices(section, context.tariff, faults);
    take_choice(section, "per", kPerWords, block.per);
    take_choice(section, "over", std::array<std::string_view, 4>{"bill", "day", "season", "year"},
                block.over);
    take_yearly_day(section, "year_begins", block.year_begins, faults);
    take(section, "round_limits", block.round_limits);
    take(section, "net", block.net);
    take_loss_factor(section, block.loss_factor);
    const auto& steps = section.sections("steps");
    for (const Section& step : steps) {
        BlockCharge::Step& read = block.steps.emplace_back();
        if (const auto* limit = step.find<MilliwattHours>("up_to")) read.up_to = *limit;
        take(step, "per_kwh", read.rate);
        check_magnitude(step, "per_kwh", context.file, faults);
    }
    check_steps<MilliwattHours>(section, steps, faults);
    if (block.over != BlockCharge::Over::bill && section.stated("per"))
        faults.push_back(section.fault("per", "stands beside an 'over' of its own", "one of the two",
                                       "leave it out: 'up_to' is then for each day, season or year"));
    if (block.over == BlockCharge::Over::season && context.tariff.seasons.empty())
        faults.push_back(section.fault("over", "names seasons, and the file has none", "", "add 'seasons'"));
    return block;
}

FixedCharge read_fixed(const Section& section, const ChargeContext& context, Faults& faults) {
    FixedCharge charge;
    take(section, "name", charge.name);
    charge.seasons = season_indices(section, context.tariff, faults);
    take(section, "amount", charge.amount);
    take_choice(section, "per", kPerWords, charge.per);
    check_day_magnitude(section, context.file, faults);
    take_choice(section, "each",
                std::array<std::string_view, 3>{"flat", "ampere-of-fuse", "contracted-kilowatt"},
                charge.each);
    if (section.stated("amount") == section.stated("by_fuse"))
        faults.push_back(
            section.fault("", "has not exactly one amount", "amount, or by_fuse",
                          section.stated("amount") ? "keep one of the two" : "add one of the two"));
    if (section.stated("by_fuse") && charge.each != FixedCharge::Each::flat)
        faults.push_back(section.fault("each", "does nothing beside 'by_fuse', whose amounts stand whole", "",
                                       "remove it, or write one 'amount'"));
    const Section* above = nullptr;
    for (const Section& fuse : section.sections("by_fuse")) {
        FixedCharge::Fuse& read = charge.by_fuse.emplace_back();
        take(fuse, "up_to", read.up_to);
        take(fuse, "amount", read.amount);
        if (above != nullptr && above->has("up_to") && fuse.has("up_to") &&
            read.up_to <= above->get<WholeAmps>("up_to"))
            faults.push_back(fuse.fault("up_to", "is not above the fuse before it", "ascending fuses",
                                        "put them in order"));
        above = &fuse;
    }
    return charge;
}

// 0.05 to 0.27 are shares of taxes on sales somewhere; a levy of less than 0.3 % is rare (ours).
constexpr double kSmallTax = 0.3;

void check_small_tax(const Section& section, const Section& file, Faults& faults) {
    const auto* percent = section.find<Percent>("percent");
    const auto* silenced = file.find<bool>("small_taxes");
    if (percent == nullptr || percent->percent == 0 || percent->percent >= kSmallTax ||
        (silenced != nullptr && *silenced))
        return;
    faults.push_back(section.fault("percent", "is hardly a tax: was a share written for a percentage?", "",
                                   fmt::format("write '{} %', or state 'small_taxes: yes'",
                                               decimal_text(std::llround(percent->percent * 1'000'000), 4))));
}

tariff::Percentage read_percentage(const Section& section, Taker kind, const Section& whole,
                                   const tariff::Revision& revision, Faults& faults) {
    tariff::Percentage percentage;
    take(section, "name", percentage.name);
    take_percent(section, "percent", percentage.millionths);
    take(section, "compound", percentage.compound);
    percentage.of = read_lines_of(section, kind, whole, revision, faults);
    settle_compound(section, kind == Taker::rider ? revision.riders : revision.taxes, kind, percentage,
                    faults);
    return percentage;
}

Export read_export(const Section& section, const Section& file, Faults& faults) {
    Export rules;
    if (const auto* netting = section.find<std::string>("netting")) {
        if (netting->ends_with(" min")) {
            rules.netting = Export::Netting::interval;
            rules.interval = std::chrono::minutes{std::stoi(*netting)};
        } else if (*netting != "none") {
            rules.netting = *netting == "window" ? Export::Netting::window : Export::Netting::bill;
        }
    }
    if (const auto* rate = section.find<Rate>("per_kwh")) rules.rate = *rate;
    check_magnitude(section, "per_kwh", file, faults);
    take_choice(section, "bank", std::array<std::string_view, 3>{"none", "money", "energy"}, rules.bank);
    if (rules.bank == Export::Bank::energy && rules.netting == Export::Netting::none)
        faults.push_back(section.fault("bank", "keeps energy, which is left only after netting",
                                       "netting by minutes, window or bill", "add 'netting', or bank money"));
    if (section.has("expires")) take_yearly_day(section, "expires", rules.expires.emplace(), faults);
    if (const auto* rate = section.find<Rate>("settled_per_kwh")) rules.settled_at = *rate;
    take(section, "pays_out", rules.pays_out);
    const auto of_bank = [&](std::string_view key, bool is_kept, const char* what, const char* mend) {
        if (section.stated(key) && !is_kept) faults.push_back(section.fault(key, what, "", mend));
    };
    of_bank("expires", rules.bank != Export::Bank::none, "is of what is banked, and nothing is",
            "add 'bank: money' or 'bank: energy', or remove it");
    of_bank("settled_per_kwh", rules.bank == Export::Bank::energy, "is of banked energy, and none is banked",
            "add 'bank: energy', or remove it");
    of_bank("pays_out", rules.bank == Export::Bank::money, "is of banked money, and none is banked",
            "add 'bank: money', or remove it");
    for (const std::string_view key : {"settled_per_kwh", "pays_out"}) {
        if (section.stated(key) && !section.stated("expires"))
            faults.push_back(
                section.fault(key, "has no day on which it is paid", "expires beside it", "add 'expires'"));
    }
    if (section.stated("per_kwh") && rules.bank == Export::Bank::energy)
        faults.push_back(section.fault("per_kwh", "is never paid: what is left is banked as energy", "",
                                       "remove it; 'settled_per_kwh' pays for energy that expires"));
    return rules;
}

// What a window pays for energy given back is paid by the rules of `export`.
void check_window_exports(const Section& section, const tariff::Revision& revision, Faults& faults) {
    const bool banked = revision.exported && revision.exported->bank == Export::Bank::energy;
    if (revision.exported && !banked) return;
    for (const Section& window : section.sections("windows")) {
        if (!window.stated("export_per_kwh")) continue;
        faults.push_back(window.fault("export_per_kwh",
                                      banked ? "is never paid: what is left is banked as energy"
                                             : "is never paid: the revision has no 'export'",
                                      "",
                                      banked ? "remove it" : "add 'export: {netting: none}', or remove it"));
    }
}

bool may_meet(const std::vector<std::size_t>& seasons, const std::vector<std::size_t>& others) {
    return seasons.empty() || others.empty() || std::ranges::any_of(seasons, [&](std::size_t season) {
               return std::ranges::find(others, season) != others.end();
           });
}

// Of one name, what bills remember of one would be taken for the other's.
template <class Charge, class Remembers>
void check_memory(const std::vector<Section>& sections, const std::vector<Charge>& charges,
                  const Remembers& remembers, const char* what, Faults& faults) {
    for (std::size_t i = 0; i < charges.size(); ++i) {
        const bool meets = std::any_of(
            charges.begin(), charges.begin() + static_cast<std::ptrdiff_t>(i), [&](const Charge& above) {
                return above.name == charges[i].name && remembers(above) && remembers(charges[i]) &&
                       may_meet(above.seasons, charges[i].seasons);
            });
        if (!meets || charges[i].name.empty()) continue;
        faults.push_back(sections[i].fault("name", what, "a name of its own, or seasons of its own",
                                           "rename one of the two"));
    }
}

void check_memories(const Section& section, const tariff::Revision& revision, Faults& faults) {
    const auto adds_up = [](const BlockCharge& block) {
        return block.over == BlockCharge::Over::year || block.over == BlockCharge::Over::season;
    };
    check_memory(section.sections("blocks"), revision.blocks, adds_up,
                 "is used twice for use that adds up over bills", faults);
    const auto any = [](const tariff::DemandCharge&) { return true; };
    check_memory(section.sections("demand"), revision.demand, any,
                 "is used twice: bills would take one's peaks for the other's", faults);
}

// Energy that cancels over a window's hours or the bill leaves no day a use of its own.
void check_day_blocks(const Section& section, const tariff::Revision& revision, Faults& faults) {
    if (!revision.exported || (revision.exported->netting != Export::Netting::window &&
                               revision.exported->netting != Export::Netting::bill))
        return;
    const bool whole = revision.exported->netting == Export::Netting::bill;
    for (std::size_t i = 0; i < revision.blocks.size(); ++i) {
        const tariff::BlockCharge& block = revision.blocks[i];
        if (block.over != tariff::BlockCharge::Over::day || block.net) continue;
        faults.push_back(section.sections("blocks")[i].fault(
            "over",
            fmt::format("counts each day's use, which netting over '{}' leaves unknown",
                        whole ? "bill" : "window"),
            "netting: none or by minutes, or net: yes",
            "add 'net: yes' where the block counts what a day took less what it gave"));
    }
}

// Percentages and minimums are known by their names, so each has one of its own.
void check_unique(const Section& section, Faults& faults) {
    for (const std::string_view key : {"minimums", "riders", "taxes"}) {
        std::vector<std::string> seen;
        for (const Section& entry : section.sections(key)) {
            const auto* name = entry.find<std::string>("name");
            if (name == nullptr) continue;
            if (std::ranges::find(seen, *name) != seen.end())
                faults.push_back(
                    entry.fault("name", "is used twice", "a name of its own", "rename one of the two"));
            seen.push_back(*name);
        }
    }
}

}  // namespace

void read_charges(const Section& section, const ChargeContext& context, tariff::Revision& revision,
                  Faults& faults) {
    for (const Section& adder : section.sections("adders"))
        revision.adders.push_back(read_adder(adder, context, revision, faults));
    for (const Section& block : section.sections("blocks"))
        revision.blocks.push_back(read_block(block, context, revision, faults));
    for (const Section& demand : section.sections("demand"))
        revision.demand.push_back(read_demand(demand, context, faults));
    for (const Section& fixed : section.sections("fixed"))
        revision.fixed.push_back(read_fixed(fixed, context, faults));
    for (const Section& minimum : section.sections("minimums")) {
        tariff::MinimumBill read;
        take(minimum, "name", read.name);
        take(minimum, "amount", read.amount);
        take_choice(minimum, "per", kPerWords, read.per);
        check_day_magnitude(minimum, context.file, faults);
        read.of = read_lines_of(minimum, Taker::minimum, section, revision, faults);
        revision.minimums.push_back(std::move(read));
    }
    for (const Section& rider : section.sections("riders"))
        revision.riders.push_back(read_percentage(rider, Taker::rider, section, revision, faults));
    for (const Section& tax : section.sections("taxes")) {
        check_small_tax(tax, context.file, faults);
        revision.taxes.push_back(read_percentage(tax, Taker::tax, section, revision, faults));
    }
    for (const Section& exported : section.sections("export"))
        revision.exported = read_export(exported, context.file, faults);
    check_day_blocks(section, revision, faults);
    check_window_exports(section, revision, faults);
    check_unique(section, faults);
    check_memories(section, revision, faults);
}

namespace {

// A step that is neither a multiple nor a part of the minor unit makes totals nobody can pay.
void check_total_step(const Section& section, const Tariff& tariff, Faults& faults) {
    const auto digits = minor_digits(tariff.currency);
    const std::int64_t step = tariff.rounding.total_step.count();
    if (!section.stated("total_step") || !digits || step == 0) return;
    std::int64_t unit = 1'000'000;
    for (int i = 0; i < *digits; ++i) unit /= 10;
    if (step % unit != 0 && unit % step != 0)
        faults.push_back(section.fault(
            "total_step", fmt::format("does not fit the minor unit of {}", tariff.currency),
            fmt::format("a multiple of {}, or a part of it that divides it", decimal_text(unit, 6)),
            "correct it"));
    if (tariff.rounding.total == tariff::LineRounding::exact)
        faults.push_back(
            section.fault("total_step", "does nothing beside 'total: exact'", "", "keep one of the two"));
}

}  // namespace

void read_billing_rules(const Section& file, Tariff& tariff, Faults& faults) {
    constexpr std::array<std::string_view, 3> kDatedBy = {"day", "bill-begin", "bill-end"};
    constexpr std::array<std::string_view, 3> kRoundings = {"nearest", "down", "exact"};
    take_choice(file, "revisions_by", kDatedBy, tariff.revisions_by);
    take_choice(file, "seasons_by", kDatedBy, tariff.seasons_by);
    take(file, "usage_by_days", tariff.usage_by_days);
    for (const Section& section : file.sections("proration")) {
        take_choice(
            section, "month",
            std::array<std::string_view, 5>{"bill", "30-days", "mean-month", "calendar", "whole-months"},
            tariff.proration.month);
        if (const auto* days = section.find<long long>("whole_from"))
            tariff.proration.whole_from = static_cast<int>(*days);
        if (const auto* days = section.find<long long>("whole_to"))
            tariff.proration.whole_to = static_cast<int>(*days);
        const bool both = section.stated("whole_from") && section.stated("whole_to");
        if (!both && (section.stated("whole_from") || section.stated("whole_to")))
            faults.push_back(section.fault("", "has only one of whole_from and whole_to", "both, or neither",
                                           "add the other"));
        if (tariff.proration.whole_from && tariff.proration.whole_to &&
            *tariff.proration.whole_from > *tariff.proration.whole_to)
            faults.push_back(section.fault("whole_to", "is below 'whole_from'", "", "swap the two"));
    }
    for (const Section& section : file.sections("rounding")) {
        take_choice(section, "lines", kRoundings, tariff.rounding.lines);
        take_choice(section, "total", kRoundings, tariff.rounding.total);
        take(section, "total_step", tariff.rounding.total_step);
        take(section, "energy", tariff.rounding.energy);
        check_total_step(section, tariff, faults);
    }
}

}  // namespace lullwatt::io
