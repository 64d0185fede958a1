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
        : problem_(problem),
          grid_(grid),
          width_(static_cast<std::size_t>(grid.limit) + 1),
          lowest_(grid.slots.size() + 1, grid.need) {
        row_.off.assign(width_, kNone);
        row_.on.assign(width_, kNone);
        row_.off[0] = row_.on[0] = 0;
        for (std::size_t t = 0; t < grid.slots.size(); ++t) {
            const std::int64_t most = static_cast<std::int64_t>(grid.slots[t].hi) * grid.slots[t].weight;
            lowest_[t + 1] = std::max<std::int64_t>(lowest_[t] - most, 0);
        }
    }

    std::vector<Objective> run() {
        const auto count = problem_.slots.size();
        std::vector<Suffix> rest(count + 1);
        for (std::size_t t = count; t-- > 0;) rest[t] = with(rest[t + 1], t);
        std::vector<Objective> found(count);
        std::size_t answered = count;  // plug-ins from here on
        for (std::size_t t = count; t-- > 0;) {
            // A plug-in whose floor is reached in slot t goes on from the row behind it.
            const auto due = [&](std::size_t first) {
                if (!fits(rest[first])) return true;
                return problem_.floor > MilliwattHours{} && floor_slots(problem_, first).full == t;
            };
            for (; answered > 0 && due(answered - 1); --answered) {
                const std::size_t first = answered - 1;
                found[first] = fits(rest[first]) ? after_floor(first, rest[first]) : everything(rest[first]);
            }
            step(t);
            if (answered == t + 1 && problem_.floor <= MilliwattHours{}) {
                found[t] = objective(best(row_.off, 0, rest[t]), {});
                answered = t;
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

    [[nodiscard]] Suffix with(Suffix rest, std::size_t t) const {
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
        return rest;
    }

    [[nodiscard]] bool fits(const Suffix& rest) const { return rest.most >= thirds(problem_.need); }

    // From the row behind slot t to the one before it, for the energies that the slots behind can bring and
    // that the slots before may leave to be brought.
    void step(std::size_t t) {
        const GridSlot& slot = grid_.slots[t];
        if (slot.hi == 0) {
            for (std::int64_t q = lowest_[t]; q <= highest_; ++q) row_.on[idx(q)] = row_.off[idx(q)];
            return;
        }
        // charge[q] = min over lo <= x <= hi of x × weight × cost + on[q − x × weight]
        const std::int64_t weight = slot.weight;
        const Cost cost = narrow(slot.cost);
        const std::int64_t shift = slot.lo * weight;
        const std::int64_t below = lowest_[t + 1];
        highest_ = std::min(grid_.limit, highest_ + slot.hi * weight);
        charge_.assign(static_cast<std::size_t>(std::max<std::int64_t>(highest_ - below + 1, 0)), kNone);
        const Cost of_shift = cost * static_cast<Cost>(shift);
        const Cost* const from = row_.on.data() + below;
        for (std::int64_t i = shift; i < std::ssize(charge_); ++i)
            charge_[idx(i)] = from[i - shift] + of_shift;
        spread(charge_,
               {.stride = static_cast<std::ptrdiff_t>(weight),
                .reach = slot.hi - slot.lo,
                .step = cost * static_cast<Cost>(weight),
                .missing = slot.missing > 0 ? slot.missing - slot.lo : 0},
               room_);
        const Cost start = narrow(grid_.start);
        Cost* const on = row_.on.data() + below;
        Cost* const off = row_.off.data() + below;
        for (std::int64_t i = lowest_[t] - below; i < std::ssize(charge_); ++i) {
            const Cost charge = is_none(charge_[idx(i)]) ? kNone : charge_[idx(i)];
            const Cost rested = off[i];
            on[i] = charge < rested ? charge : rested;
            off[i] = charge + start < rested ? charge + start : rested;
        }
    }
    static constexpr std::size_t idx(std::int64_t i) { return static_cast<std::size_t>(i); }

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

    // Below the floor nothing is chosen; from the slot that reaches it on, the value function, whose row
    // behind that slot is the present one, knows the rest.
    Objective after_floor(std::size_t first, const Suffix& rest) const {
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
            const Cost value = best(row_.on, done + units, rest);
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
    std::vector<std::int64_t> lowest_;  // what the slots before each leave to be brought at least
    std::int64_t highest_ = 0;          // what the slots of the row can bring at most
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
