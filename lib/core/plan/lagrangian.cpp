#include "core/plan/lagrangian.hpp"

#include <algorithm>

namespace lullwatt::plan {
namespace {

constexpr Wide kNever = static_cast<Wide>(1) << 126;

// The same where 64 bits hold every sum.
template <class Cost>
constexpr Cost kNone = sizeof(Cost) == sizeof(Wide) ? static_cast<Cost>(kNever) : static_cast<Cost>(1) << 61;

// The least relaxed cost and the least and most energy among the patterns that have it.
template <class Cost>
struct Relaxed {
    Cost value = 0;
    std::int64_t least = 0;
    std::int64_t most = 0;
};

template <class Cost>
Relaxed<Cost> better(const Relaxed<Cost>& a, const Relaxed<Cost>& b) {
    if (a.value != b.value) return a.value < b.value ? a : b;
    return {a.value, std::min(a.least, b.least), std::max(a.most, b.most)};
}

template <class Cost>
Relaxed<Cost> after(Relaxed<Cost> from, Cost cost) {
    if (from.value < kNone<Cost>) from.value += cost;
    return from;
}

// Backward over the slots. `to_go`, where given, takes the value of each state before each slot.
template <class Cost>
Relaxed<Wide> relax_in(const Grid& grid, Cost multiplier, std::vector<CostToGo>* to_go) {
    const auto wide = [](Cost value) { return value < kNone<Cost> ? Wide{value} : kNever; };
    const auto start = static_cast<Cost>(grid.start);
    Relaxed<Cost> never{kNone<Cost>, 0, 0};
    Relaxed<Cost> off;
    Relaxed<Cost> on;
    if (to_go != nullptr) to_go->assign(grid.slots.size() + 1, {kNever, 0, 0});
    for (std::size_t t = grid.slots.size(); t-- > 0;) {
        const GridSlot& slot = grid.slots[t];
        Relaxed<Cost> charge{kNone<Cost>, 0, 0};
        if (slot.hi > 0) {
            const Cost reduced = static_cast<Cost>(slot.cost) - multiplier;
            const std::int64_t lo = static_cast<std::int64_t>(slot.lo) * slot.weight;
            const std::int64_t hi = static_cast<std::int64_t>(slot.hi) * slot.weight;
            charge = after(on, reduced * static_cast<Cost>(reduced > 0 ? lo : hi));
            charge.least += reduced < 0 ? hi : lo;
            charge.most += reduced > 0 ? lo : hi;
        }
        const Relaxed<Cost> begin = after(charge, start);
        on = slot.may_rest ? better(off, charge) : charge;
        off = slot.may_rest ? better(off, begin) : begin;
        never = slot.may_rest ? better(never, begin) : begin;
        if (to_go != nullptr) (*to_go)[t] = {wide(never.value), wide(off.value), wide(on.value)};
    }
    return {wide(never.value), never.least, never.most};
}

Wide magnitude(Wide value) { return value < 0 ? -value : value; }

// Relaxes one grid at any multiplier, in 64 bits where they hold every sum.
class Relaxer {
  public:
    explicit Relaxer(const Grid& grid) : grid_(grid) {
        Wide starts = 0;
        for (const GridSlot& slot : grid.slots) {
            dearest_ = std::max(dearest_, slot.hi > 0 ? magnitude(slot.cost) : 0);
            units_ += static_cast<Wide>(slot.hi) * slot.weight;
            starts += grid.start;
        }
        room_ = (kNone<std::int64_t> - 1 - starts) / std::max<Wide>(units_, 1) - dearest_;
    }
    [[nodiscard]] Relaxed<Wide> at(Wide multiplier, std::vector<CostToGo>* to_go = nullptr) const {
        return magnitude(multiplier) <= room_ ? relax_in(grid_, static_cast<std::int64_t>(multiplier), to_go)
                                              : relax_in(grid_, multiplier, to_go);
    }
    // The greatest cost of a unit, whatever its sign.
    [[nodiscard]] Wide dearest() const { return dearest_; }

  private:
    const Grid& grid_;
    Wide dearest_ = 0;
    Wide units_ = 0;
    Wide room_ = 0;  // for a multiplier
};

// A vertex of the lower convex hull of (energy, cost).
struct Vertex {
    std::int64_t energy = 0;
    Wide cost = 0;
};
Vertex least_vertex(const Relaxed<Wide>& r, Wide multiplier) {
    return {r.least, r.value + multiplier * r.least};
}
Vertex most_vertex(const Relaxed<Wide>& r, Wide multiplier) {
    return {r.most, r.value + multiplier * r.most};
}

}  // namespace

Dual lagrangian_bound(const Grid& grid) {
    const Relaxer relaxer(grid);
    const Wide dearest = grid.start + 1 + relaxer.dearest();

    Dual dual;
    Relaxed<Wide> at = relaxer.at(0);
    if (at.most < grid.need || at.least > grid.limit) {
        // Energy grows with the multiplier: keep one hull vertex below the target and one above it, and try
        // the slope between them until it is the hull's own.
        const bool more = at.most < grid.need;
        dual.target = more ? grid.need : grid.limit;
        const Wide end = more ? dearest : -dearest;
        const Relaxed<Wide> at_end = relaxer.at(end);
        Vertex below = more ? most_vertex(at, 0) : most_vertex(at_end, end);
        Vertex above = more ? least_vertex(at_end, end) : least_vertex(at, 0);
        Wide low = more ? 0 : end;
        Wide high = more ? end : 0;
        dual.multiplier = end;
        for (int round = 0; below.energy < dual.target && above.energy > dual.target && high - low > 1;
             ++round) {
            Wide tried = (above.cost - below.cost) / (above.energy - below.energy);
            if (round % 4 == 3) tried = low + (high - low) / 2;
            tried = std::clamp(tried, low + 1, high - 1);
            at = relaxer.at(tried);
            dual.multiplier = tried;
            if (at.least <= dual.target && at.most >= dual.target) break;
            if (at.most < dual.target) {
                low = tried;
                below = most_vertex(at, tried);
            } else {
                high = tried;
                above = least_vertex(at, tried);
            }
        }
    } else {
        dual.target = grid.need;
    }
    dual.bound = relaxer.at(dual.multiplier, &dual.to_go).value + dual.multiplier * dual.target;
    return dual;
}

Flanks flanks(const Grid& grid, const Dual& dual) {
    const Wide multiplier = dual.multiplier;
    std::vector<Wide> costs;
    for (const GridSlot& slot : grid.slots) {
        if (slot.hi > 0) costs.push_back(slot.cost);
    }
    std::ranges::sort(costs);
    const auto middle = std::ranges::lower_bound(costs, multiplier);
    const Relaxer relaxer(grid);
    const auto relaxation = [&](Wide at) {
        Relaxation r{at, {}};
        (void)relaxer.at(at, &r.to_go);
        return r;
    };
    Flanks out;
    constexpr int kParts = 4;
    const auto under = middle - costs.begin();
    const auto over = costs.end() - middle;
    for (int i = 0; i < kParts; ++i) {
        if (under > 0) out.below.push_back(relaxation(costs[static_cast<std::size_t>(under * i / kParts)]));
        if (over > 0) out.above.push_back(relaxation(*(costs.end() - 1 - over * i / kParts)));
    }
    out.above.push_back(relaxation(std::max(costs.back(), multiplier) + grid.start));
    const auto invalid = [&](const Relaxation& other) {
        return dual.target == grid.need ? other.multiplier < 0 : other.multiplier > 0;
    };
    std::erase_if(out.below, invalid);
    std::erase_if(out.above, invalid);
    return out;
}

}  // namespace lullwatt::plan
