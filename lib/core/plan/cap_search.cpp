#include "core/plan/cap_search.hpp"

#include <algorithm>
#include <utility>

namespace lullwatt::plan {
namespace {

// All plans whose peaks lie in it. `energy` bounds them by planning under `high`.
struct Box {
    Caps low;
    Caps high;
    CapKey energy;
    CapKey bound;  // with the cost of `low`
    std::vector<bool> halved;
};

class Search {
  public:
    Search(const std::vector<PeakRange>& ranges, const PlanUnderCaps& plan, std::size_t most_tries)
        : ranges_(ranges), plan_(plan), most_tries_(most_tries) {}

    CapsFound run() {
        Box all{
            .low = {}, .high = {}, .energy = {}, .bound = {}, .halved = std::vector<bool>(ranges_.size())};
        for (const PeakRange& range : ranges_) {
            all.low.push_back(range.from);
            all.high.push_back(range.to);
        }
        add(std::move(all));
        while (!open_.empty() && found_.tries < most_tries_) {
            std::ranges::pop_heap(open_, kLater);
            const Box box = std::move(open_.back());
            open_.pop_back();
            if (settled(box.bound)) continue;
            split(box);
        }
        if (!found_.best) return std::move(found_);
        found_.bound = found_.best->key;
        if (unsplit_) found_.bound = std::min(found_.bound, *unsplit_);
        for (const Box& box : open_) found_.bound = std::min(found_.bound, box.bound);
        return std::move(found_);
    }

  private:
    static constexpr auto kLater = [](const Box& a, const Box& b) { return a.bound > b.bound; };

    [[nodiscard]] bool settled(const CapKey& bound) const { return found_.best && bound >= found_.best->key; }
    [[nodiscard]] Wide cost(const Caps& peaks) const {
        Wide sum = 0;
        for (std::size_t i = 0; i < ranges_.size(); ++i) sum += ranges_[i].cost(peaks[i]);
        return sum;
    }
    [[nodiscard]] CapKey with(CapKey key, const Caps& peaks) const {
        key.money += cost(peaks);
        return key;
    }
    void offer(CapCandidate candidate) {
        candidate.key = with(candidate.key, candidate.peaks);
        if (!found_.best || candidate.key < found_.best->key) found_.best = std::move(candidate);
    }

    // Plans under the box's upper caps, and keeps the box where something better may lie in it.
    void add(Box box) {
        ++found_.tries;
        std::optional<CapKey> enough;
        if (found_.best) {
            enough = found_.best->key;
            enough->money -= cost(box.low);
        }
        UnderCaps under = plan_(box.high, enough);
        for (CapCandidate& candidate : under.plans) offer(std::move(candidate));
        if (!under.least) return;
        box.energy = *under.least;
        // Any plan with a peak between a best one's and the cap costs as much and reaches as high.
        if (under.reached && ranges_.size() == 1)
            box.high.front() = std::clamp(under.reached->front(), box.low.front(), box.high.front());
        keep(std::move(box));
    }

    void keep(Box box) {
        box.bound = with(box.energy, box.low);
        if (settled(box.bound)) return;
        open_.push_back(std::move(box));
        std::ranges::push_heap(open_, kLater);
    }

    // At the peak whose cost is most uncertain; first apart from what is free, then by halves.
    void split(const Box& box) {
        std::size_t at = 0;
        Wide widest = 0;
        for (std::size_t i = 0; i < ranges_.size(); ++i) {
            const Wide width = ranges_[i].cost(box.high[i]) - ranges_[i].cost(box.low[i]);
            if (width > widest) {
                widest = width;
                at = i;
            }
        }
        if (widest == 0) {
            unsplit_ = unsplit_ ? std::min(*unsplit_, box.bound) : box.bound;
            return;
        }
        const std::int64_t low = box.low[at].count();
        const std::int64_t high = box.high[at].count();
        const Milliwatts middle(box.halved[at] ? low + (high - low) / 2 : low);
        Box above = box;
        above.low[at] = Milliwatts(middle.count() + 1);
        above.halved[at] = true;
        Box below = box;
        below.high[at] = middle;
        below.halved[at] = true;
        add(std::move(below));
        keep(std::move(above));
    }

    const std::vector<PeakRange>& ranges_;
    const PlanUnderCaps& plan_;
    std::size_t most_tries_;
    std::vector<Box> open_;          // a heap, the least bound on top
    std::optional<CapKey> unsplit_;  // the least bound of boxes that no cap divides any more
    CapsFound found_;
};

}  // namespace

CapsFound search_caps(const std::vector<PeakRange>& ranges, const PlanUnderCaps& plan,
                      std::size_t most_tries) {
    return Search(ranges, plan, most_tries).run();
}

}  // namespace lullwatt::plan
