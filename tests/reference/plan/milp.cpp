#include "reference/plan/milp.hpp"

#include <cmath>

namespace lullwatt::reference {

Milp milp(const plan::Problem& problem) {
    const int count = static_cast<int>(problem.slots.size());
    const double need = static_cast<double>(problem.need.count()) / (problem.per_ampere.count() * 1000 / 60);
    double floor = static_cast<double>(problem.floor.count()) / (problem.per_ampere.count() * 1000 / 60);
    double longest = 0;
    bool equal = true;
    for (const plan::Slot& slot : problem.slots) {
        if (slot.most < problem.least) continue;
        const auto length = static_cast<double>(slot.when.length().count()) / 60;
        equal = equal && (longest == 0 || longest == length);
        longest = std::max(longest, length);
    }

    // What charging loses, in amperes; the steps of energy are then no longer those of whole amperes.
    const double lost = problem.overhead.count() / problem.per_ampere.count();
    equal = equal && lost == 0;

    Milp m;
    m.columns.resize(static_cast<std::size_t>(3 * count));
    const int delivered = 0;
    const int some_start = 1;
    m.rows.resize(static_cast<std::size_t>(2 + 3 * count));
    // Whole amperes bring whole steps of energy: of the common length where all are equal, else of a minute.
    // The ends are rounded to steps, so that continuous amperes end on them too; the most is below one slot's
    // least above the need.
    const double step = equal && longest > 0 ? longest : 1;
    m.rows[delivered].low = std::ceil(need / step - 1e-9) * step;
    m.rows[delivered].high = (std::ceil((need + longest * problem.least.count()) / step - 1e-9) - 1) * step;
    if (lost > 0) {  // whole watt-minutes, of which the last is just not reached
        const double watt_minute = 1 / problem.per_ampere.count();
        m.rows[delivered].low = need - 0.1 * watt_minute;
        m.rows[delivered].high = need + longest * (problem.least.count() - lost) - 0.1 * watt_minute;
    }
    if (need > 0) m.rows[some_start].low = 1;
    for (int t = 0; t < count; ++t) {
        const plan::Slot& slot = problem.slots[static_cast<std::size_t>(t)];
        const int on = count + t;
        const int start = 2 * count + t;
        const int at_most = 2 + 3 * t;
        const int at_least = at_most + 1;
        const int starts = at_most + 2;
        const auto length = static_cast<double>(slot.when.length().count()) / 60;
        const double kilowatt_hours = problem.per_ampere.count() / 1000 * length / 60;  // of one ampere
        const double most = slot.most >= problem.least ? slot.most.count() : 0;
        auto& amps = m.columns[static_cast<std::size_t>(t)];
        amps = {0, most, static_cast<double>(slot.price.count()) / 1e5 * kilowatt_hours, !equal};
        m.columns[static_cast<std::size_t>(on)] = {0, most > 0 ? 1.0 : 0.0, 0, true};
        m.columns[static_cast<std::size_t>(start)] = {
            0, 1, static_cast<double>(problem.start_cost.count()) * 10, false};
        if (floor > 1e-9 && most > 0) {
            if (floor > most * length) {
                amps.low = most;
            } else {
                amps.low = std::ceil(floor / length - 1e-9);
            }
            m.columns[static_cast<std::size_t>(on)].low = 1;
            floor -= most * length;
        }
        m.terms.push_back({delivered, t, length});
        if (lost > 0) m.terms.push_back({delivered, on, -lost * length});
        m.terms.push_back({some_start, start, 1});
        m.terms.push_back({at_most, t, 1});  // amps <= most × on
        m.terms.push_back({at_most, on, -most});
        m.rows[static_cast<std::size_t>(at_most)].high = 0;
        m.terms.push_back({at_least, t, 1});  // amps >= least × on
        m.terms.push_back({at_least, on, -static_cast<double>(problem.least.count())});
        m.rows[static_cast<std::size_t>(at_least)].low = 0;
        m.terms.push_back({starts, start, 1});  // start >= on − on before
        m.terms.push_back({starts, on, -1});
        if (t > 0) m.terms.push_back({starts, on - 1, 1});
        m.rows[static_cast<std::size_t>(starts)].low = 0;
    }
    return m;
}

std::vector<WholeAmps> amperes(const plan::Problem& problem, const std::vector<double>& values) {
    std::vector<WholeAmps> out;
    for (std::size_t t = 0; t < problem.slots.size(); ++t)
        out.emplace_back(static_cast<int>(std::lround(values[t])));
    return out;
}

}  // namespace lullwatt::reference
