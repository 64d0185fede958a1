#include "io/printed_bill/printed_bill.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "io/settings/section.hpp"

namespace lullwatt::io {
namespace {

using account::PrintedLine;

constexpr std::string_view kKinds =
    "energy | demand | fixed | rider | export | tax | minimum | rounding | correction | estimated | true-up "
    "| "
    "budget | payment | balance";

constexpr std::array kEnergyOptions = {
    Option{.key = "price",
           .consequence = "The price by the hour it is of; without it, the only one there is."},
    Option{.key = "energy",
           .kind = Kind::fine_energy,
           .required = true,
           .least = 0,
           .greatest = 1'000'000'000,
           .consequence = "As the bill prints it."},
};
constexpr Table kEnergyTable{"amount of energy", kEnergyOptions};

constexpr std::array kPowerOptions = {
    Option{.key = "charge", .consequence = "The demand charge it is of; without it, every one."},
    Option{.key = "power",
           .kind = Kind::demand,
           .required = true,
           .least = 0,
           .greatest = 100'000,
           .consequence = "As the bill prints it, before steps and ratchets."},
};
constexpr Table kPowerTable{"demand", kPowerOptions};

constexpr std::array kLineOptions = {
    Option{.key = "name", .required = true, .consequence = "As the bill prints it."},
    Option{
        .key = "kind",
        .kind = Kind::choice,
        .required = true,
        .choices = kKinds,
        .consequence = "From correction on: what does not follow from use and tariff, and is not compared."},
    Option{.key = "amount", .kind = Kind::money, .required = true, .consequence = "As the bill prints it."},
    Option{.key = "is",
           .kind = Kind::list,
           .consequence = "Names of our lines it is the sum of; without it, the line of its own name."},
};
constexpr Table kLine{"line", kLineOptions};

constexpr std::array kBillOptions = {
    Option{.key = "format",
           .kind = Kind::choice,
           .required = true,
           .choices = "1",
           .consequence = "Of this file."},
    Option{
        .key = "from", .kind = Kind::date, .required = true, .consequence = "The day of its first reading."},
    Option{.key = "to",
           .kind = Kind::date,
           .required = true,
           .consequence = "The day of the next reading, which the next bill begins with."},
    Option{.key = "taken",
           .kind = Kind::sections,
           .table = &kEnergyTable,
           .consequence = "Energy by price; without it, readings say it."},
    Option{
        .key = "given", .kind = Kind::sections, .table = &kEnergyTable, .consequence = "Energy given back."},
    Option{.key = "demand", .kind = Kind::sections, .table = &kPowerTable, .consequence = "Power billed."},
    Option{.key = "lines",
           .kind = Kind::sections,
           .required = true,
           .table = &kLine,
           .consequence = "Its lines."},
    Option{.key = "total", .kind = Kind::money, .consequence = "What it comes to."},
};

PrintedLine::Kind kind_of(const std::string& word) {
    constexpr std::array<std::string_view, 14> kWords = {
        "energy",   "demand",     "fixed",     "rider",   "export", "tax",     "minimum",
        "rounding", "correction", "estimated", "true-up", "budget", "payment", "balance"};
    return static_cast<PrintedLine::Kind>(std::ranges::find(kWords, word) - kWords.begin());
}

std::vector<account::Typed::Energy> energies(const std::vector<Section>& sections) {
    std::vector<account::Typed::Energy> found;
    for (const Section& section : sections) {
        const auto* price = section.find<std::string>("price");
        const auto* energy = section.find<MilliwattHours>("energy");
        if (energy != nullptr) found.push_back({price == nullptr ? "" : *price, *energy});
    }
    return found;
}

Read<PrintedBill> finish(ReadSection read) {
    const Section& file = read.section;
    PrintedBill bill;
    const auto* from = file.find<CivilDate>("from");
    const auto* to = file.find<CivilDate>("to");
    if (from != nullptr && to != nullptr) {
        bill.days = {*from, *to};
        if (bill.days.days() <= 0 || bill.days.days() > 800)
            read.faults.push_back(file.fault("to", "makes no bill with 'from'", "1 to 800 days after 'from'",
                                             "correct one of the two"));
        else if (int{from->year()} < 1970 || int{to->year()} > 2199)
            read.faults.push_back(file.fault("from", "is no date of a bill", "a date from 1970 to 2199", ""));
    }
    bill.usage.taken = energies(file.sections("taken"));
    bill.usage.given = energies(file.sections("given"));
    for (const Section& section : file.sections("demand")) {
        const auto* charge = section.find<std::string>("charge");
        if (const auto* power = section.find<Milliwatts>("power"))
            bill.usage.demand.push_back({charge == nullptr ? "" : *charge, *power});
    }
    for (const Section& section : file.sections("lines")) {
        const auto* kind = section.find<std::string>("kind");
        if (!section.has("name") || kind == nullptr || !section.has("amount")) continue;
        PrintedLine line{section.get<std::string>("name"), kind_of(*kind), section.get<Money>("amount"), {}};
        for (const auto& element : section.list("is")) line.is.push_back(element.written);
        if (section.stated("is") && !account::is_comparable(line.kind))
            read.faults.push_back(section.fault("is", "stands on a line that is not compared",
                                                "lines of the kinds energy to rounding",
                                                "remove it, or correct the kind"));
        bill.lines.push_back(std::move(line));
    }
    if (const auto* total = file.find<Money>("total")) bill.total = *total;
    if (!read.faults.empty()) return read.faults;
    return bill;
}

}  // namespace

const Table kPrintedBillTable{"printed bill", kBillOptions};

Read<PrintedBill> read_printed_bill(const std::filesystem::path& file) {
    return finish(read_file(file, kPrintedBillTable));
}

Read<PrintedBill> read_printed_text(const std::string& text, const std::string& name) {
    return finish(read_text(text, name, kPrintedBillTable));
}

}  // namespace lullwatt::io
