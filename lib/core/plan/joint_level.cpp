#include "core/plan/joint_level.hpp"

#include <algorithm>
#include <functional>
#include <numeric>
#include <tuple>
#include <utility>
#include <vector>

#include "core/plan/joint_bound.hpp"

namespace lullwatt::plan {
namespace {

class Levelling {
  public:
    Levelling(const JointGrid& grid, JointAmps& amps, const Work& work)
        : grid_(grid), amps_(amps), work_(work), few_(amps.size() <= kManyCars) {
        for (const std::vector<int>& car : amps) units_.push_back(energy(grid, car));
    }

    // Whether anything was changed: the shares, greatest first, are then less.
    bool round() { return simple_round() || (few_ && start_beside()); }

  private:
    bool simple_round() {
        std::vector<std::size_t> shortest(amps_.size());
        std::iota(shortest.begin(), shortest.end(), std::size_t{0});
        std::ranges::stable_sort(shortest, [&](std::size_t a, std::size_t b) { return share(a) > share(b); });
        for (const std::size_t car : shortest) {
            if (share(car) == Share{}) return false;
            if (take_what_is_left(car)) return true;
            for (std::size_t i = shortest.size(); i-- > 0;) {
                if (!few_ && work_.hurried()) return false;
                if (share(shortest[i]) < share(car) && hand_over(shortest[i], car)) return true;
            }
        }
        return false;
    }

    [[nodiscard]] Share share(std::size_t car) const { return share_short(grid_.cars[car], units_[car]); }

    void set(std::size_t car, std::size_t slot, int amps) {
        units_[car] += std::int64_t{amps - amps_[car][slot]} * grid_.weight[slot];
        amps_[car][slot] = amps;
    }

    [[nodiscard]] std::vector<Share> shares() const {
        std::vector<Share> found;
        for (std::size_t i = 0; i < amps_.size(); ++i) found.push_back(share(i));
        std::ranges::sort(found, std::greater<>{});
        return found;
    }

    // What the rows leave the car in the slot.
    [[nodiscard]] int room(std::size_t car, std::size_t slot) const {
        int least = grid_.cars[car].slots[slot].hi;
        for (const std::size_t r : grid_.cars[car].rows) {
            const JointGrid::Row& row = grid_.rows[r];
            if (!row.binds[slot]) continue;
            int left = row.capacity[slot];
            for (const std::size_t other : row.cars) left -= other == car ? 0 : amps_[other][slot];
            least = std::min(least, left);
        }
        return least;
    }

    // The greatest current in that room with which the car gets no more than its need asks for; what it has
    // where that is not less.
    [[nodiscard]] int most(std::size_t car, std::size_t slot) const {
        const int now = amps_[car][slot];
        const GridSlot& limits = grid_.cars[car].slots[slot];
        const int fits = room(car, slot);
        const std::int64_t lacking = grid_.cars[car].need - units_[car];
        int best = now;
        for (int amps = now + 1; amps <= fits; ++amps) {
            if (!allows(limits, amps)) continue;
            if (units_[car] + std::int64_t{amps - now} * grid_.weight[slot] > most_energy(grid_, car)) break;
            best = amps;
            if (std::int64_t{amps - now} * grid_.weight[slot] >= lacking) break;
        }
        return best;
    }

    bool take_what_is_left(std::size_t car) {
        bool taken = false;
        for (std::size_t t = 0; t < grid_.slots() && share(car) > Share{}; ++t) {
            const int amps = most(car, t);
            if (amps == amps_[car][t]) continue;
            set(car, t, amps);
            taken = true;
        }
        return taken;
    }

    // The later slots first: where only the end of the night is scarce, its beginning stays as it was. First
    // where nothing is lost on the way, then where a start needs more than the other gives up, or less.
    bool hand_over(std::size_t from, std::size_t to) {
        bool handed = false;
        for (const bool may_lose : {false, true}) {
            for (std::size_t t = grid_.slots(); t-- > 0 && share(from) < share(to);)
                handed = hand_over(from, to, t, may_lose) || handed;
        }
        return handed;
    }

    bool hand_over(std::size_t from, std::size_t to, std::size_t slot, bool may_lose) {
        const int has = amps_[from][slot];
        const int had = amps_[to][slot];
        Share best = share(to);
        std::pair chosen{has, had};
        for (int less = has - 1; less >= 0; --less) {
            if (!allows(grid_.cars[from].slots[slot], less)) continue;
            set(from, slot, less);
            if (share(from) >= best) break;  // less still is worse
            set(to, slot, most(to, slot));
            const bool loses = amps_[to][slot] - had < has - less;
            if ((may_lose || !loses) && std::max(share(from), share(to)) < best) {
                best = std::max(share(from), share(to));
                chosen = {less, amps_[to][slot]};
            }
            set(to, slot, had);
        }
        set(from, slot, chosen.first);
        set(to, slot, chosen.second);
        return chosen.second != had;
    }

    // One car at its most leaves less than another's least: a little less of the one lets both charge, and
    // what it lost is handed back in other slots. In many slots at once, for one may be too little to be
    // shared.
    bool start_beside() {
        for (std::size_t from = 0; from < amps_.size(); ++from) {
            for (std::size_t to = 0; to < amps_.size(); ++to) {
                if (from == to || share(to) == Share{}) continue;
                std::vector<std::size_t> slots;
                for (std::size_t t = 0; t < grid_.slots(); ++t) {
                    if (start_beside(from, to, t, false)) slots.push_back(t);
                }
                for (; !slots.empty(); slots.resize(slots.size() / 2)) {
                    if (start_beside(from, to, slots)) return true;
                }
            }
        }
        return false;
    }

    bool start_beside(std::size_t from, std::size_t to, const std::vector<std::size_t>& slots) {
        const auto before = std::pair{amps_, units_};
        const auto shares_before = shares();
        for (const std::size_t slot : slots) (void)start_beside(from, to, slot, true);
        for (int i = 0; i < kHandBacks && simple_round(); ++i) {
        }
        if (std::ranges::lexicographical_compare(shares(), shares_before)) return true;
        std::tie(amps_, units_) = before;
        return false;
    }

    // Whether it can be in this slot with more for both together.
    bool start_beside(std::size_t from, std::size_t to, std::size_t slot, bool now) {
        const int has = amps_[from][slot];
        if (amps_[to][slot] > 0 || has == 0) return false;
        int less = has - 1;
        int starts = 0;
        for (; less > 0 && starts == 0; --less) {
            if (!allows(grid_.cars[from].slots[slot], less)) continue;
            set(from, slot, less);
            starts = most(to, slot);
        }
        const bool gains = starts > 0 && amps_[from][slot] + starts > has;
        if (gains && now) {
            set(to, slot, starts);
        } else {
            set(from, slot, has);
        }
        return gains;
    }

    static constexpr int kHandBacks = 8;
    const JointGrid& grid_;
    JointAmps& amps_;
    const Work& work_;
    const bool few_;
    std::vector<std::int64_t> units_;
};

}  // namespace

Share share_short(const JointGrid::Car& car, std::int64_t units) {
    const Wide missing = car.need_thirds - car.unit_thirds * units;
    return missing > 0 ? Share{missing, car.need_thirds} : Share{};
}

void level(const JointGrid& grid, JointAmps& amps, const Work& work) {
    Levelling levelling(grid, amps, work);
    constexpr int kRoundsEach = 100;
    for (int left = kRoundsEach * static_cast<int>(grid.cars.size()); left > 0 && levelling.round(); --left) {
    }
}

}  // namespace lullwatt::plan
