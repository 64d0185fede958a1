#include <algorithm>

#include "core/account/energy_lines.hpp"

namespace lullwatt::account {
namespace {

using tariff::Export;

std::int64_t share_of(std::int64_t whole, Wide part_until, Wide all) {
    return all == 0 ? 0 : static_cast<std::int64_t>(nearest_quotient(whole * part_until, all));
}

// Windows whose energy cancels: all, or those of one name at one price.
using Group = std::vector<std::size_t>;

std::vector<Group> groups_of(const std::vector<WindowUse>& windows, Export::Netting netting) {
    std::vector<Group> groups;
    for (std::size_t i = 0; i < windows.size(); ++i) {
        const WindowUse& window = windows[i];
        const auto same = std::ranges::find_if(groups, [&](const Group& group) {
            if (netting == Export::Netting::bill) return true;
            const WindowUse& other = windows[group.front()];
            return !window.varies && !other.varies && window.revision == other.revision &&
                   window.name == other.name && window.rate == other.rate &&
                   window.export_rate == other.export_rate && window.loss_factor == other.loss_factor;
        });
        if (same == groups.end()) {
            groups.push_back({i});
        } else {
            same->push_back(i);
        }
    }
    return groups;
}

// Energy given back spread over what was taken, and what is left over spread over when it was given.
void cancel(const std::vector<WindowUse>& windows, const Group& group, std::vector<NetUse>& net) {
    std::int64_t taken = 0;
    std::int64_t given = 0;
    for (const std::size_t i : group) {
        taken += windows[i].taken.count();
        given += windows[i].given.count();
    }
    const std::int64_t cancelled = std::min(taken, given);
    Wide taken_until = 0;
    Wide given_until = 0;
    for (const std::size_t i : group) {
        const std::int64_t took = share_of(cancelled, taken_until, taken);
        const std::int64_t gave = share_of(given - cancelled, given_until, given);
        taken_until += windows[i].taken.count();
        given_until += windows[i].given.count();
        net[i].charged =
            MilliwattHours(windows[i].taken.count() - (share_of(cancelled, taken_until, taken) - took));
        net[i].surplus = MilliwattHours(share_of(given - cancelled, given_until, given) - gave);
    }
}

// Takes banked energy off what is charged, off each window's in proportion; by window where it was banked so.
void draw(std::vector<NetUse>& net, const std::vector<WindowUse>& windows, Carried& after) {
    for (Carried::Banked& banked : after.energy) {
        const auto pays = [&](std::size_t i) {
            return banked.window.empty() || banked.window == windows[i].name;
        };
        std::int64_t charged = 0;
        for (std::size_t i = 0; i < net.size(); ++i) charged += pays(i) ? net[i].charged.count() : 0;
        const std::int64_t drawn = std::min(banked.energy.count(), charged);
        Wide until = 0;
        for (std::size_t i = 0; i < net.size(); ++i) {
            if (!pays(i)) continue;
            const std::int64_t before = share_of(drawn, until, charged);
            until += net[i].charged.count();
            net[i].charged -= MilliwattHours(share_of(drawn, until, charged) - before);
        }
        banked.energy -= MilliwattHours(drawn);
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
    for (const WindowUse& window : use.windows) net.push_back({window.taken, window.given});
    if (rules.netting == Export::Netting::bill || rules.netting == Export::Netting::window) {
        for (const Group& group : groups_of(use.windows, rules.netting)) cancel(use.windows, group, net);
    }
    if (rules.bank == Export::Bank::energy) {
        draw(net, use.windows, after);
        put_by(net, use.windows, rules.netting == Export::Netting::window, after);
    }
    return net;
}

}  // namespace lullwatt::account
