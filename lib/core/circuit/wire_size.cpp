#include "core/circuit/wire_size.hpp"

#include <algorithm>
#include <cstddef>

namespace lullwatt::circuit {
namespace {

struct SizeRow {
    std::string_view name;
    double circular_mils;
};

// NEC chapter 9 table 8 as at voltdropcalc.com/nec-chapter-9-table-8; a kcmil size is its own area. In the
// order of WireSize.
constexpr std::array<SizeRow, kWireSizes.size()> kSizeRows{{
    {"14 AWG", 4'110},
    {"12 AWG", 6'530},
    {"10 AWG", 10'380},
    {"8 AWG", 16'510},
    {"6 AWG", 26'240},
    {"4 AWG", 41'740},
    {"3 AWG", 52'620},
    {"2 AWG", 66'360},
    {"1 AWG", 83'690},
    {"1/0 AWG", 105'600},
    {"2/0 AWG", 133'100},
    {"3/0 AWG", 167'800},
    {"4/0 AWG", 211'600},
    {"250 kcmil", 250'000},
    {"300 kcmil", 300'000},
    {"350 kcmil", 350'000},
    {"400 kcmil", 400'000},
    {"500 kcmil", 500'000},
}};

const SizeRow& row(WireSize size) { return kSizeRows[static_cast<std::size_t>(size)]; }

}  // namespace

CircularMils area(WireSize size) { return CircularMils(row(size).circular_mils); }

std::string name(WireSize size) { return std::string(row(size).name); }

std::optional<WireSize> wire_size_of(std::string_view name) {
    const auto at = std::ranges::find(kSizeRows, name, &SizeRow::name);
    if (at == kSizeRows.end()) return std::nullopt;
    return kWireSizes[static_cast<std::size_t>(at - kSizeRows.begin())];
}

}  // namespace lullwatt::circuit
