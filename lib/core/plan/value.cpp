#include "core/plan/value.hpp"

#include <algorithm>
#include <cassert>
#include <cstddef>
#include <limits>

#include "core/plan/evaluate.hpp"
#include "core/plan/grid.hpp"
#include "core/plan/spread.hpp"

namespace lullwatt::plan {
namespace {

// One row of the value function: the least money and starts to bring exactly q units from a slot on, off or
// on.
template <class Cost>
struct Row {
    std::vector<Cost> off;
    std::vector<Cost> on;
};

template <class Cost>
class Backward {
  public:
    explicit Backward(const Problem& problem, const Grid& grid)
        : problem_(problem), grid_(grid), width_(static_cast<std::size_t>(grid.limit) + 1) {
        row_.off.assign(width_, kNone);
        row_.on.assign(width_, kNone);
        row_.off[0] = row_.on[0] = 0;
    }

    std::vector<Objective> run() {
        const bool floored = problem_.floor > MilliwattHours{};
        std::vector<Row<Cost>> rows(floored ? problem_.slots.size() + 1 : 0);
        if (floored) rows.back() = row_;
        std::vector<Objective> found(problem_.slots.size());
        Suffix rest;
        for (std::size_t t = problem_.slots.size(); t-- > 0;) {
            step(grid_.slots[t]);
            add(rest, t);
            if (floored) rows[t] = row_;
            if (rest.most < thirds(problem_.need)) {
                found[t] = everything(rest);
            } else if (floored) {
                found[t] = after_floor(t, rest, rows);
            } else {
                found[t] = objective(best(row_.off, 0, rest), {});
            }
        }
        return found;
    }

  private:
    static constexpr Cost kNone = static_cast<Cost>(Wide{1} << (sizeof(Cost) == sizeof(Wide) ? 120 : 60));
    // Negative prices pull impossible values below kNone, but never by half of it.
    static constexpr bool is_none(Cost value) { return value > kNone / 2; }

    // What the usable slots from one on hold in all.
    struct Suffix {
        Wide most = 0;          // thirds of a milliwatt-hour
        Wide cost_of_most = 0;  // thirds of 1e-18
        int starts_of_most = 0;
        std::int64_t longest = 0;  // minutes
        bool next_charges = false;
    };

    void add(Suffix& rest, std::size_t t) const {
        const Slot& slot = problem_.slots[t];
        const bool charges = usable(problem_, slot);
        // A run of usable slots begins where the one after it in time was not yet counted into it.
        if (charges) {
            const Wide energy =
                static_cast<Wide>(slot.most.count()) * minutes(slot) * thirds_per_ampere_minute(problem_);
            rest.most += energy;
            rest.cost_of_most += energy * slot.price.count();
            rest.longest = std::max(rest.longest, minutes(slot));
            rest.starts_of_most += rest.next_charges ? 0 : 1;
        }
        rest.next_charges = charges;
    }

    void step(const GridSlot& slot) {
        if (slot.hi == 0) {
            row_.on = row_.off;
            return;
        }
        // charge[q] = min over lo <= x <= hi of x × weight × cost + on[q − x × weight]
        const std::int64_t weight = slot.weight;
        const Cost cost = narrow(slot.cost);
        charge_.assign(width_, kNone);
        const std::int64_t shift = slot.lo * weight;
        for (std::int64_t q = shift; q < static_cast<std::int64_t>(width_); ++q) {
            charge_[static_cast<std::size_t>(q)] =
                row_.on[static_cast<std::size_t>(q - shift)] + cost * static_cast<Cost>(shift);
        }
        spread(charge_,
               {.stride = static_cast<std::ptrdiff_t>(weight),
                .reach = slot.hi - slot.lo,
                .step = cost * static_cast<Cost>(weight),
                .missing = slot.missing > 0 ? slot.missing - slot.lo : 0},
               room_);
        const Cost start = narrow(grid_.start);
        for (std::size_t q = 0; q < width_; ++q) {
            const Cost charge = is_none(charge_[q]) ? kNone : charge_[q];
            row_.on[q] = std::min(row_.off[q], charge);
            row_.off[q] = std::min(row_.off[q], charge + start);
        }
    }

    // Preference left out: one unit's money, in the grid's steps, above the starts.
    Cost narrow(Wide cost) const { return static_cast<Cost>(grid_.money_and_starts(cost)); }

    // The least value among energies that meet the need, `done` units being in already.
    Cost best(const std::vector<Cost>& row, std::int64_t done, const Suffix& rest) const {
        const std::int64_t limit = std::min(
            grid_.limit, grid_.need + rest.longest / grid_.minutes_per_unit * problem_.least.count() - 1);
        Cost least = kNone;
        for (std::int64_t q = std::max<std::int64_t>(grid_.need - done, 0); q <= limit - done; ++q) {
            least = std::min(least, row[static_cast<std::size_t>(q)]);
        }
        return least;
    }

    Objective objective(Cost value, const Tally& before) const {
        assert(!is_none(value));
        const Wide per_money = grid_.per_money / grid_.per_start;
        const Wide money = floor_quotient(static_cast<Wide>(value), per_money);
        Objective result;
        result.starts = static_cast<int>(static_cast<Wide>(value) - money * per_money) + before.starts;
        result.cost = whole_amount(money * grid_.thirds_per_money + before.energy_cost +
                                   start_thirds(problem_.start_cost) * before.starts);
        return result;
    }

    Objective everything(const Suffix& rest) const {
        return {
            .short_by = MilliwattHours(-whole_energy(rest.most - thirds(problem_.need))),
            .cost = whole_amount(rest.cost_of_most + start_thirds(problem_.start_cost) * rest.starts_of_most),
            .starts = rest.starts_of_most};
    }

    // Below the floor nothing is chosen; from the slot that reaches it on, the value function knows the rest.
    Objective after_floor(std::size_t first, const Suffix& rest, const std::vector<Row<Cost>>& rows) const {
        const FloorSlots floor = floor_slots(problem_, first);
        Tally before;
        std::int64_t done = 0;
        bool on = false;
        for (std::size_t t = first; t < floor.full; ++t) {
            const Slot& slot = problem_.slots[t];
            const bool charges = usable(problem_, slot);
            before.starts += charges && !on;
            on = charges;
            if (!charges) continue;
            const std::int64_t units = static_cast<std::int64_t>(slot.most.count()) * grid_.slots[t].weight;
            done += units;
            before.energy_cost += grid_.unit_thirds * units * slot.price.count();
        }
        before.starts += on ? 0 : 1;
        const Slot& last = problem_.slots[floor.full];
        std::optional<Objective> found;
        for (int amps = floor.reach.count(); amps <= last.most.count(); ++amps) {
            if (amps == problem_.missing.count()) continue;
            const std::int64_t units = static_cast<std::int64_t>(amps) * grid_.slots[floor.full].weight;
            const Cost value = best(rows[floor.full + 1].on, done + units, rest);
            if (is_none(value)) continue;
            Tally so_far = before;
            so_far.energy_cost += grid_.unit_thirds * units * last.price.count();
            const Objective here = objective(value, so_far);
            if (!found || here < *found) found = here;
        }
        assert(found);
        return *found;
    }

    const Problem& problem_;
    const Grid& grid_;
    std::size_t width_;
    Row<Cost> row_;
    std::vector<Cost> charge_;
    SpreadRoom<Cost> room_;
};

}  // namespace

std::vector<Objective> value_every_plug_in(const Problem& problem) {
    const bool nothing_fits = most_energy(problem, WholeAmps(std::numeric_limits<int>::max())) == 0;
    if (problem.need <= MilliwattHours{} || nothing_fits) {
        return std::vector<Objective>(problem.slots.size(),
                                      Objective{.short_by = std::max(problem.need, MilliwattHours{})});
    }
    const Grid grid = make_grid(problem, WholeAmps(std::numeric_limits<int>::max()));
    Wide most = grid.money_and_starts(grid.start) * static_cast<Wide>(grid.slots.size());
    for (const GridSlot& slot : grid.slots) {
        const Wide unit = grid.money_and_starts(slot.cost);
        most = std::max(most, (unit < 0 ? -unit : unit) * (grid.limit + 1));
    }
    constexpr Wide kExact = Wide{1} << 51;  // doubles hold sums of a few such exactly
    return most < kExact ? Backward<double>(problem, grid).run() : Backward<Wide>(problem, grid).run();
}

}  // namespace lullwatt::plan
