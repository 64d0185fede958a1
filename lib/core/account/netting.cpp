#include <algorithm>

#include "core/account/energy_lines.hpp"

namespace lullwatt::account {
namespace {

using tariff::Export;

std::int64_t share_of(std::int64_t whole, Wide part_until, Wide all) {
    return all == 0 ? 0 : static_cast<std::int64_t>(nearest_quotient(whole * part_until, all));
}

// Energy given back spread over what was taken, and what is left over spread over when it was given.
std::vector<NetUse> over_the_bill(const std::vector<WindowUse>& windows) {
    std::int64_t taken = 0;
    std::int64_t given = 0;
    for (const WindowUse& window : windows) {
        taken += window.taken.count();
        given += window.given.count();
    }
    const std::int64_t cancelled = std::min(taken, given);
    Wide taken_until = 0;
    Wide given_until = 0;
    std::vector<NetUse> net;
    for (const WindowUse& window : windows) {
        const std::int64_t took = share_of(cancelled, taken_until, taken);
        const std::int64_t gave = share_of(given - cancelled, given_until, given);
        taken_until += window.taken.count();
        given_until += window.given.count();
        net.push_back(
            {MilliwattHours(window.taken.count() - (share_of(cancelled, taken_until, taken) - took)),
             MilliwattHours(share_of(given - cancelled, given_until, given) - gave)});
    }
    return net;
}

NetUse of_window(const WindowUse& window, Export::Netting netting) {
    if (netting != Export::Netting::window) return {window.taken, window.given};
    const std::int64_t net = window.taken.count() - window.given.count();
    return {MilliwattHours(std::max<std::int64_t>(net, 0)), MilliwattHours(std::max<std::int64_t>(-net, 0))};
}

// Takes banked energy off what is charged, by window where it was banked so.
void draw(std::vector<NetUse>& net, const std::vector<WindowUse>& windows, Carried& after) {
    for (Carried::Banked& banked : after.energy) {
        for (std::size_t i = 0; i < net.size(); ++i) {
            if (!banked.window.empty() && banked.window != windows[i].name) continue;
            const MilliwattHours drawn = std::min(banked.energy, net[i].charged);
            banked.energy -= drawn;
            net[i].charged -= drawn;
        }
    }
    std::erase_if(after.energy, [](const Carried::Banked& banked) { return banked.energy.count() == 0; });
}

void put_by(std::vector<NetUse>& net, const std::vector<WindowUse>& windows, bool by_window, Carried& after) {
    for (std::size_t i = 0; i < net.size(); ++i) {
        if (net[i].surplus.count() == 0) continue;
        const std::string name = by_window ? windows[i].name : "";
        const auto same = std::ranges::find(after.energy, name, &Carried::Banked::window);
        auto& banked =
            same == after.energy.end() ? after.energy.emplace_back(Carried::Banked{name, {}}) : *same;
        banked.energy += net[i].surplus;
        net[i].surplus = MilliwattHours(0);
    }
}

}  // namespace

std::vector<NetUse> net_uses(const tariff::Tariff& tariff, const Use& use, Carried& after) {
    const tariff::Revision& latest = tariff.revisions[use.segments.back().revision];
    const Export rules = latest.exported.value_or(Export{});
    std::vector<NetUse> net;
    if (rules.netting == Export::Netting::bill) {
        net = over_the_bill(use.windows);
    } else {
        for (const WindowUse& window : use.windows) net.push_back(of_window(window, rules.netting));
    }
    if (rules.bank == Export::Bank::energy) {
        draw(net, use.windows, after);
        put_by(net, use.windows, rules.netting == Export::Netting::window, after);
    }
    return net;
}

}  // namespace lullwatt::account
