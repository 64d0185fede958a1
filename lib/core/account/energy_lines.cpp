#include "core/account/energy_lines.hpp"

#include <algorithm>
#include <utility>

#include "core/account/blocks.hpp"
#include "core/tariff/window.hpp"

namespace lullwatt::account {
namespace {

using tariff::BlockCharge;
using tariff::Stretch;
using tariff::Tariff;

MilliwattHours with_loss(MilliwattHours energy, std::int64_t loss_factor) {
    return times(energy, {loss_factor, tariff::kWhole});
}

Line energy_line(Part part, const std::string& name, DateSpan days, MilliwattHours energy,
                 std::optional<Rate> rate) {
    Line line{part, name, days, energy.count(), Line::Unit::kilowatt_hour, {}, {}, {}};
    if (rate) line.rate = rate->count();
    return line;
}

// Days of a revision in the bill.
DateSpan days_of(const Use& use, std::size_t revision) {
    return std::ranges::find(use.segments, revision, &Segment::revision)->days;
}

Stretch stretch_of(const WindowUse& window) {
    Stretch stretch;
    stretch.revision = window.revision;
    stretch.season = window.season;
    stretch.name = window.name;
    return stretch;
}

class EnergyBill {
  public:
    EnergyBill(const Tariff& tariff, DateSpan bill, const Use& use, const Terms& terms, Carried& after)
        : tariff_(tariff),
          bill_(bill),
          use_(use),
          terms_(terms),
          after_(after),
          net_(net_uses(tariff, use, after)) {
        const auto& exported = tariff.revisions[use.segments.back().revision].exported;
        if (exported) export_ = *exported;
    }

    std::vector<ExactLine> lines() {
        window_lines();
        std::ranges::stable_sort(lines_, {}, [&](const ExactLine& exact) {
            return std::pair(exact.line.days.from, place_of(exact.line));
        });
        for (const Segment& segment : use_.segments) adder_lines(segment);
        for (std::size_t segment = 0; segment < use_.segments.size(); ++segment) block_lines(segment);
        export_lines();
        return std::move(lines_);
    }

  private:
    // What the revision pays for energy given back; null: nothing.
    [[nodiscard]] const tariff::Export* export_of(const WindowUse& window) const {
        const auto& exported = tariff_.revisions[window.revision].exported;
        return exported ? &*exported : nullptr;
    }
    // What surplus of this window is paid; none: what it would have cost.
    [[nodiscard]] static std::optional<Rate> paid_rate(const WindowUse& window,
                                                       const tariff::Export& exported) {
        return window.export_rate ? window.export_rate : exported.rate;
    }
    [[nodiscard]] bool at_retail(const WindowUse& window) const {
        const tariff::Export* const exported = export_of(window);
        return exported != nullptr && !paid_rate(window, *exported);
    }

    // Windows stand on a bill as in the file.
    [[nodiscard]] std::ptrdiff_t place_of(const Line& line) const {
        const auto segment = std::ranges::find(use_.segments, line.days.from,
                                               [](const Segment& each) { return each.days.from; });
        const auto& windows = tariff_.revisions[segment->revision].windows;
        return std::ranges::find(windows, line.name, &tariff::Window::name) - windows.begin();
    }

    void window_lines() {
        for (std::size_t i = 0; i < net_.size(); ++i) {
            const WindowUse& window = use_.windows[i];
            if (!window.varies && window.rate.count() == 0) continue;
            MilliwattHours charged = with_loss(net_[i].charged, window.loss_factor);
            const auto same = std::ranges::find_if(lines_, [&](const ExactLine& exact) {
                return !window.varies && exact.line.rate == window.rate.count() &&
                       exact.line.name == window.name &&
                       exact.line.days.from == days_of(use_, window.revision).from;
            });
            if (same != lines_.end()) {
                same->line.quantity += charged.count();
                same->amount = MilliwattHours(same->line.quantity) * window.rate;
                continue;
            }
            Line line = energy_line(Part::window, window.name, days_of(use_, window.revision), charged,
                                    window.varies ? std::nullopt : std::optional(window.rate));
            lines_.push_back({std::move(line), cost(window, net_[i].charged, charged)});
        }
        if (tariff_.rounding.energy.count() == 0) return;
        for (ExactLine& exact : lines_) {
            if (!exact.line.rate) continue;
            const auto energy = rounded_energy(MilliwattHours(exact.line.quantity), tariff_.rounding.energy);
            exact.line.quantity = energy.count();
            exact.amount = energy * Rate(*exact.line.rate);
        }
    }

    // Announced prices differ by the hour: what was not cancelled costs its share of the whole.
    [[nodiscard]] static ExactAmount cost(const WindowUse& window, MilliwattHours charged,
                                          MilliwattHours with_losses) {
        if (!window.varies) return with_losses * window.rate;
        if (window.taken == charged || window.taken.count() == 0) return window.taken_cost;
        return scaled(window.taken_cost, charged.count(), window.taken.count());
    }

    // Energy a charge counts, over the windows it applies to.
    template <class Charge, class Energy>
    [[nodiscard]] MilliwattHours counted(const Charge& charge, std::size_t revision, Energy energy) const {
        MilliwattHours sum;
        for (std::size_t i = 0; i < net_.size(); ++i) {
            const WindowUse& window = use_.windows[i];
            if (window.revision == revision && applies(charge, stretch_of(window))) sum += energy(i);
        }
        return sum;
    }

    void adder_lines(const Segment& segment) {
        for (const tariff::Adder& adder : tariff_.revisions[segment.revision].adders) {
            MilliwattHours energy = counted(adder, segment.revision, [&](std::size_t i) {
                if (adder.on_all_taken) return use_.windows[i].taken;
                const bool back = at_retail(use_.windows[i]);
                return back ? MilliwattHours(net_[i].charged - net_[i].surplus) : net_[i].charged;
            });
            energy = rounded_energy(with_loss(energy, adder.loss_factor), tariff_.rounding.energy);
            if (energy.count() == 0 && !held(adder, segment)) continue;
            lines_.push_back({energy_line(Part::adder, adder.name, segment.days, energy, adder.rate),
                              energy * adder.rate});
        }
    }

    [[nodiscard]] bool held(const tariff::Adder& adder, const Segment& segment) const {
        return days_in(tariff_, segment.days, adder.seasons) > 0;
    }

    // Segments one after the other in which a block is the same.
    struct Stay {
        DateSpan days;
        std::size_t first = 0;  // of Use::segments
        std::size_t last = 0;

        [[nodiscard]] bool holds(const Use& use, const WindowUse& window) const {
            for (std::size_t i = first; i <= last; ++i) {
                if (use.segments[i].revision == window.revision) return true;
            }
            return false;
        }
    };

    [[nodiscard]] bool has(std::size_t segment, const BlockCharge& block) const {
        const auto& blocks = tariff_.revisions[use_.segments[segment].revision].blocks;
        return std::ranges::find(blocks, block) != blocks.end();
    }

    // A change of prices that leaves a block as it was does not divide its limits.
    void block_lines(std::size_t first) {
        for (const BlockCharge& block : tariff_.revisions[use_.segments[first].revision].blocks) {
            if (first > 0 && has(first - 1, block)) continue;
            Stay stay{use_.segments[first].days, first, first};
            while (stay.last + 1 < use_.segments.size() && has(stay.last + 1, block)) ++stay.last;
            stay.days.to = use_.segments[stay.last].days.to;
            if (days_in(tariff_, stay.days, block.seasons) == 0) continue;
            if (block.over == BlockCharge::Over::day) {
                day_blocks(stay, block);
            } else if (block.over == BlockCharge::Over::bill) {
                bill_blocks(stay, block);
            } else {
                long_blocks(stay, block);
            }
        }
    }

    // Negative where `net` and more was given than taken.
    [[nodiscard]] MilliwattHours of_window(const BlockCharge& block, std::size_t i) const {
        const WindowUse& window = use_.windows[i];
        return block.net ? MilliwattHours(window.taken - window.given) : net_[i].charged;
    }

    // The part of a window's energy that falls on some of its days.
    [[nodiscard]] MilliwattHours of_days(const BlockCharge& block, std::size_t i, DateSpan days) const {
        MilliwattHours before;
        MilliwattHours until;
        for (const DayUse& day : use_.by_day) {
            if (day.window != i || days.to <= day.day) continue;
            const MilliwattHours energy = block.net ? MilliwattHours(day.taken - day.given) : day.taken;
            until += energy;
            if (day.day < days.from) before += energy;
        }
        const std::int64_t taken = use_.windows[i].taken.count();
        if (block.net || taken == 0) return MilliwattHours(until - before);
        const Multiple charged{net_[i].charged.count(), taken};
        return MilliwattHours(times(until, charged) - times(before, charged));
    }

    template <class Energy>
    [[nodiscard]] MilliwattHours block_energy(const BlockCharge& block, const Stay& stay,
                                              Energy energy) const {
        MilliwattHours sum;
        for (std::size_t i = 0; i < net_.size(); ++i) {
            const WindowUse& window = use_.windows[i];
            if (stay.holds(use_, window) && applies(block, stretch_of(window))) sum += energy(i);
        }
        return rounded_energy(with_loss(sum, block.loss_factor), tariff_.rounding.energy);
    }

    // Limits of a part of the bill, rounded so that parts sum to what the whole bill's would be.
    [[nodiscard]] Limits limits_in(const BlockCharge& block, DateSpan days) const {
        const auto until = [&](CivilDate day) {
            const Active active{{bill_.from, day}, block.seasons};
            return limits_of(block, multiple_of(tariff_, block.per, bill_, active, terms_.months));
        };
        Limits limits = until(days.to);
        const Limits before = until(days.from);
        for (std::size_t i = 0; i < limits.size(); ++i) {
            limits[i] -= before[i];
            if (i > 0) limits[i] = std::max(limits[i], limits[i - 1]);
        }
        return limits;
    }

    void bill_blocks(const Stay& stay, const BlockCharge& block) {
        const MilliwattHours energy =
            block_energy(block, stay, [&](std::size_t i) { return of_window(block, i); });
        const Limits limits = limits_in(block, stay.days);
        step_lines(stay.days, block, limits, by_step(limits, {}, energy), "");
    }

    // Blocks that add up over a season or year, which may begin anew within the bill.
    void long_blocks(const Stay& stay, const BlockCharge& block) {
        const Limits limits = limits_of(block, {});
        const auto counts = counts_of(tariff_, block, stay.days);
        const bool by_days = counts_of(tariff_, block, bill_).size() > 1;
        for (const DateSpan days : counts) {
            if (days_in(tariff_, days, block.seasons) == 0) continue;
            const MilliwattHours energy = block_energy(block, stay, [&](std::size_t i) {
                return by_days ? of_days(block, i, days) : of_window(block, i);
            });
            const CivilDate since = counted_since(tariff_, block, days.from);
            const MilliwattHours before = used_before(block, since);
            step_lines(days, block, limits, by_step(limits, before, energy), "");
            remember(block, since, MilliwattHours(before + energy));
        }
    }

    void day_blocks(const Stay& stay, const BlockCharge& block) {
        const Limits limits = limits_of(block, {});
        std::vector<MilliwattHours> sums(block.steps.size());
        for (std::size_t first = 0; first < use_.by_day.size();) {
            MilliwattHours energy;
            std::size_t next = first;
            for (; next < use_.by_day.size() && use_.by_day[next].day == use_.by_day[first].day; ++next) {
                const DayUse& day = use_.by_day[next];
                const WindowUse& window = use_.windows[day.window];
                if (!stay.holds(use_, window) || !applies(block, stretch_of(window))) continue;
                energy += day.taken;
                if (block.net) energy -= day.given;
            }
            first = next;
            const auto parts = by_step(limits, {}, with_loss(energy, block.loss_factor));
            for (std::size_t i = 0; i < sums.size(); ++i) sums[i] += parts[i];
        }
        for (MilliwattHours& sum : sums) sum = rounded_energy(sum, tariff_.rounding.energy);
        step_lines(stay.days, block, limits, sums, limits.empty() ? "" : " of each day");
    }

    // A line for each step that has energy; the first one where none has any.
    void step_lines(DateSpan days, const BlockCharge& block, const Limits& limits,
                    const std::vector<MilliwattHours>& parts, const char* of) {
        const bool nothing =
            std::ranges::all_of(parts, [](MilliwattHours part) { return part.count() == 0; });
        for (std::size_t i = 0; i < parts.size(); ++i) {
            if (parts[i].count() == 0 && !(nothing && i == 0)) continue;
            const Rate rate = block.steps[i].rate;
            lines_.push_back({energy_line(Part::block, block.name, days, parts[i], rate), parts[i] * rate});
            lines_.back().line.rule = step_text(limits, i) + of;
        }
    }

    [[nodiscard]] MilliwattHours used_before(const BlockCharge& block, CivilDate since) const {
        const auto found = std::ranges::find(after_.used, block.name, &Carried::Used::block);
        const bool goes_on = found != after_.used.end() && found->since == since;
        return goes_on ? found->energy : MilliwattHours(0);
    }

    void remember(const BlockCharge& block, CivilDate since, MilliwattHours energy) {
        const auto found = std::ranges::find(after_.used, block.name, &Carried::Used::block);
        auto& used = found == after_.used.end() ? after_.used.emplace_back() : *found;
        used = {block.name, since, energy};
    }

    void export_lines() {
        for (std::size_t i = 0; i < net_.size(); ++i) {
            const WindowUse& window = use_.windows[i];
            const tariff::Export* const exported = export_of(window);
            if (exported == nullptr || net_[i].surplus.count() == 0) continue;
            const auto rate = paid_rate(window, *exported);
            const MilliwattHours energy =
                rounded_energy(MilliwattHours(-net_[i].surplus), tariff_.rounding.energy);
            const ExactAmount at_window = window.varies ? ExactAmount(-window.given_cost.atto())
                                                        : with_loss(energy, window.loss_factor) * window.rate;
            const std::optional<Rate> shown = window.varies ? std::nullopt : std::optional(window.rate);
            lines_.push_back({energy_line(Part::exported, window.name, days_of(use_, window.revision), energy,
                                          rate ? rate : shown),
                              rate ? energy * *rate : at_window});
            lines_.back().line.rule = "given back";
        }
        settle_bank();
    }

    // Energy banked too long is paid, where anything is paid for it, and gone.
    void settle_bank() {
        if (export_.bank != tariff::Export::Bank::energy || !export_.expires || after_.energy.empty()) return;
        if (!falls_in(*export_.expires, bill_)) return;
        for (const Carried::Banked& banked : after_.energy) {
            if (!export_.settled_at) continue;
            const MilliwattHours energy(-banked.energy);
            lines_.push_back(
                {energy_line(Part::exported, "banked energy", bill_, energy, *export_.settled_at),
                 energy * *export_.settled_at});
            lines_.back().line.rule = banked.window.empty() ? "settled" : "settled, of " + banked.window;
        }
        after_.energy.clear();
    }

    const Tariff& tariff_;
    DateSpan bill_;
    const Use& use_;
    const Terms& terms_;
    Carried& after_;
    std::vector<NetUse> net_;
    tariff::Export export_;
    std::vector<ExactLine> lines_;
};

}  // namespace

std::vector<ExactLine> energy_lines(const Tariff& tariff, DateSpan bill, const Use& use, const Terms& terms,
                                    Carried& after) {
    return EnergyBill(tariff, bill, use, terms, after).lines();
}

}  // namespace lullwatt::account
