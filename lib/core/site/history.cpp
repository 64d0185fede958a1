#include "core/site/history.hpp"

#include <algorithm>
#include <cassert>
#include <iterator>

namespace lullwatt::site {

MilliwattHours total(const HistoryRow& row) { return row.energy[0] + row.energy[1] + row.energy[2]; }

EnergySeries totals(const MeterHistory& history) {
    EnergySeries series;
    series.reserve(history.rows.size());
    for (const HistoryRow& row : history.rows) series.push_back({row.when, total(row), row.quality});
    return series;
}

Merged merge(const MeterHistory& held, const MeterHistory& offered) {
    assert(held.legs == offered.legs);
    Merged result{held, 0, 0, {}};
    std::vector<HistoryRow> fresh;
    auto next = held.rows.begin();
    for (const HistoryRow& row : offered.rows) {
        next = std::find_if(next, held.rows.end(),
                            [&](const HistoryRow& other) { return row.when.begin < other.when.end; });
        if (next == held.rows.end() || row.when.end <= next->when.begin) {
            fresh.push_back(row);
        } else if (next->when == row.when && next->energy == row.energy) {
            ++result.known;
        } else {
            result.disagreements.push_back({*next, row});
        }
    }
    result.added = fresh.size();
    std::vector<HistoryRow> rows;
    rows.reserve(held.rows.size() + fresh.size());
    std::ranges::merge(
        held.rows, fresh, std::back_inserter(rows), {}, [](const HistoryRow& row) { return row.when.begin; },
        [](const HistoryRow& row) { return row.when.begin; });
    result.history.rows = std::move(rows);
    return result;
}

}  // namespace lullwatt::site
