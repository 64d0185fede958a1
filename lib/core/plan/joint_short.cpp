#include "core/plan/joint_short.hpp"

#include <algorithm>
#include <numeric>
#include <optional>

#include "core/plan/exact.hpp"
#include "core/plan/joint_level.hpp"

namespace lullwatt::plan {
namespace {

using Shares = std::vector<std::optional<Share>>;

class Fairness {
  public:
    Fairness(const JointProblem& problem, const JointGrid& grid, Work& work, const MixedSolver& solver)
        : grid_(grid), work_(work), solver_(solver), by_name_(grid.cars.size()) {
        std::iota(by_name_.begin(), by_name_.end(), std::size_t{0});
        std::ranges::sort(by_name_, {}, [&](std::size_t car) { return problem.cars[car].name; });
    }

    // Fixes what is not fixed yet, the greatest share first.
    Targets improve(Shares fixed, JointAmps amps, bool proven);

  private:
    [[nodiscard]] Share share(std::size_t car, const JointAmps& amps) const;
    // The least units that leave no more than `most` of the car's need short, or less than it.
    [[nodiscard]] std::int64_t target(std::size_t car, const Share& most, bool less) const;
    // What these units leave short, the greatest share first.
    [[nodiscard]] std::vector<Share> sorted(const std::vector<std::int64_t>& units) const;
    Feasibility ask(const std::vector<std::int64_t>& targets);
    // Hands over (joint_level.hpp) where no fixed car and not the greatest share of the others loses by it.
    [[nodiscard]] JointAmps levelled(const Shares& fixed, JointAmps amps) const;
    // Lowers the greatest share of the cars not fixed as far as it goes; that share.
    Share lower_greatest(const Shares& fixed, JointAmps& amps, bool& proven);
    [[nodiscard]] std::vector<std::int64_t> targets(const Shares& fixed, const Share& rest, bool less) const;

    const JointGrid& grid_;
    Work& work_;
    const MixedSolver& solver_;
    std::vector<std::size_t> by_name_;
};

Share Fairness::share(std::size_t car, const JointAmps& amps) const {
    return share_short(grid_.cars[car], energy(grid_, amps[car]));
}

std::int64_t Fairness::target(std::size_t car, const Share& most, bool less) const {
    const JointGrid::Car& c = grid_.cars[car];
    if (c.need == 0) return 0;
    // need − d × unit <= most × need, so d × unit × whole >= need × (whole − part).
    const Wide enough = c.need_thirds * (most.whole - most.part);
    const Wide per_unit = c.unit_thirds * most.whole;
    Wide units = -floor_quotient(-enough, per_unit);
    if (less && units * per_unit == enough) ++units;
    return std::max(c.floor, static_cast<std::int64_t>(std::max<Wide>(units, 0)));
}

std::vector<std::int64_t> Fairness::targets(const Shares& fixed, const Share& rest, bool less) const {
    std::vector<std::int64_t> out;
    for (std::size_t i = 0; i < fixed.size(); ++i)
        out.push_back(fixed[i] ? target(i, *fixed[i], false) : target(i, rest, less));
    return out;
}

std::vector<Share> Fairness::sorted(const std::vector<std::int64_t>& units) const {
    std::vector<Share> out;
    for (std::size_t i = 0; i < units.size(); ++i) out.push_back(share_short(grid_.cars[i], units[i]));
    std::ranges::sort(out, [](const Share& a, const Share& b) { return a > b; });
    return out;
}

Feasibility Fairness::ask(const std::vector<std::int64_t>& targets) {
    return find_any(grid_, targets, work_, solver_);
}

JointAmps Fairness::levelled(const Shares& fixed, JointAmps amps) const {
    JointAmps better = amps;
    level(grid_, better, work_);
    Share open, open_better;
    for (std::size_t i = 0; i < fixed.size(); ++i) {
        if (fixed[i] && share(i, better) > *fixed[i]) return amps;
        if (fixed[i]) continue;
        open = std::max(open, share(i, amps));
        open_better = std::max(open_better, share(i, better));
    }
    return open_better > open ? amps : better;
}

Share Fairness::lower_greatest(const Shares& fixed, JointAmps& amps, bool& proven) {
    const auto greatest = [&] {
        Share most;
        for (std::size_t i = 0; i < fixed.size(); ++i) {
            if (!fixed[i]) most = std::max(most, share(i, amps));
        }
        return most;
    };
    constexpr Wide kParts = Wide{1} << 24;
    Wide low = -1;  // parts that are known to be too few
    for (Share high = greatest(); high > Share{}; high = greatest()) {
        Wide middle = (low + high.part * kParts / high.whole) / 2;
        auto tried = targets(fixed, {std::max<Wide>(middle, 0), kParts}, false);
        const auto last = targets(fixed, high, true);
        const bool is_last = middle <= low || tried == last;
        if (is_last) tried = last;
        Feasibility found = work_.hurried() ? Feasibility{} : ask(tried);
        if (found.answer == Answer::yes) {
            amps = levelled(fixed, std::move(found.amps));
            continue;
        }
        proven = proven && found.answer == Answer::no;
        if (is_last || work_.hurried()) return high;
        low = middle;
    }
    return {};
}

Targets Fairness::improve(Shares fixed, JointAmps amps, bool proven) {
    for (;;) {
        std::vector<std::size_t> open;
        for (const std::size_t car : by_name_) {
            if (!fixed[car]) open.push_back(car);
        }
        if (open.empty()) return {targets(fixed, {}, false), std::move(amps), proven};
        const Share greatest = lower_greatest(fixed, amps, proven);
        if (greatest == Share{}) {
            for (const std::size_t car : open) fixed[car] = Share{};
            continue;
        }
        // Cars that have the greatest share whatever the others do.
        std::vector<std::size_t> must;
        for (const std::size_t car : open) {
            if (share(car, amps) != greatest) continue;
            auto less = targets(fixed, greatest, false);
            less[car] = target(car, greatest, true);
            const Answer answer = open.size() == 1 ? Answer::no : ask(less).answer;
            if (answer == Answer::no) must.push_back(car);
            if (answer == Answer::unknown) proven = false;
        }
        if (!must.empty()) {
            for (const std::size_t car : must) fixed[car] = greatest;
            continue;
        }
        // Some one of them must have it: each in turn, the first by name where they end alike.
        constexpr std::size_t kTriedEach = 4;
        if (fixed.size() > kTriedEach) {
            proven = false;
            for (std::size_t i = open.size(); i-- > 0;) {
                if (share(open[i], amps) != greatest) continue;
                fixed[open[i]] = greatest;
                break;
            }
            continue;
        }
        // What is asked for is compared and not the currents: they may bring more than the plan has to.
        std::optional<Targets> best;
        for (std::size_t i = open.size(); i-- > 0;) {  // kind to the first name: the last is short first
            Shares with = fixed;
            with[open[i]] = greatest;
            Targets tried = improve(std::move(with), amps, proven);
            const bool all_proven = tried.proven && (!best || best->proven);
            if (!best || sorted(tried.units) < sorted(best->units)) best = std::move(tried);
            best->proven = all_proven;
        }
        return *best;
    }
}

}  // namespace

Targets least_short(const JointProblem& problem, const JointGrid& grid, JointAmps amps, Work& work,
                    const MixedSolver& solver) {
    return Fairness(problem, grid, work, solver).improve(Shares(grid.cars.size()), std::move(amps), true);
}

}  // namespace lullwatt::plan
