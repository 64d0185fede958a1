#include "io/settings/site_table.hpp"

#include <array>

#include "io/settings/site_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::array kHeadOptions = {
    Option{.key = "name", .required = true, .sample = "Home", .consequence = "How reports call the house."},
    Option{.key = "zone",
           .required = true,
           .sample = "America/Halifax",
           .consequence = "The clock people here read; ready-by, habits and most tariffs follow it."},
    Option{.key = "currency",
           .required = true,
           .sample = "CAD",
           .consequence = "Three capitals by ISO 4217; must be the tariff's."},
    Option{.key = "clock",
           .kind = Kind::choice,
           .fallback = "wait",
           .choices = "wait | standing | charge | trusted",
           .consequence =
               "What cars do after a start until the clock is proven: wait, take their standing current, "
               "charge at once; trusted: another service keeps it, so it is believed at once."},
};
constexpr Table kHead{"site", kHeadOptions};

constexpr std::array kChoiceOptions = {
    Option{.key = "lease",
           .kind = Kind::duration,
           .fallback = "15 min",
           .least = 300,
           .greatest = 3600,
           .consequence = "How long equipment may hold a current above standing without a word from here."},
    Option{.key = "start_cost",
           .kind = Kind::money,
           .fallback = "0.02",
           .least = 0,
           .greatest = 100,
           .consequence = "What a start must save to be worth it, in the site's currency."},
};
constexpr Table kChoices{"set of options", kChoiceOptions};

constexpr std::array kSiteOptions = {
    Option{.key = "format",
           .kind = Kind::whole_number,
           .required = true,
           .sample = "1",
           .least = 1,
           .greatest = 1,
           .consequence = "The version of this file's format."},
    Option{
        .key = "site", .kind = Kind::section, .required = true, .table = &kHead, .consequence = "The house."},
    Option{.key = "service",
           .kind = Kind::section,
           .required = true,
           .table = &kServiceTable,
           .consequence = "Where the supply comes in."},
    Option{.key = "feeders",
           .kind = Kind::sections,
           .table = &kFeederTable,
           .consequence = "Sub-panels and their feeders."},
    Option{.key = "circuits",
           .kind = Kind::sections,
           .required = true,
           .table = &kCircuitTable,
           .consequence = "Circuits that end in supply points."},
    Option{.key = "points",
           .kind = Kind::sections,
           .required = true,
           .table = &kPointTable,
           .consequence = "Supply equipment; in this order `auto` hands out standing currents."},
    Option{.key = "cars",
           .kind = Kind::sections,
           .required = true,
           .table = &kCarTable,
           .consequence = "The cars."},
    Option{.key = "loads",
           .kind = Kind::sections,
           .required = true,
           .table = &kLoadTable,
           .consequence = "What else draws, and where."},
    Option{.key = "dwelling",
           .kind = Kind::section,
           .table = &kDwellingTable,
           .consequence = "What `lullwatt circuit` calculates from; without it, no load calculation."},
    Option{.key = "tariff",
           .kind = Kind::file,
           .sample = "tariffs/flat.yaml",
           .stated_in_reference = true,
           .consequence = "What energy costs (docs/tariff-format.md), where there is one contract billed by "
                          "months; otherwise contracts."},
    Option{.key = "contracts",
           .kind = Kind::sections,
           .table = &kContractTable,
           .consequence = "Instead of tariff: who bills what, and when; contracts of one meter add up."},
    Option{.key = "simulation",
           .kind = Kind::section,
           .table = &kSimulationTable,
           .consequence = "The house behind links and meters that are simulated, for trying things out."},
    Option{.key = "options",
           .kind = Kind::section,
           .fallback = "{}",
           .table = &kChoices,
           .consequence = "The rest."},
};

}  // namespace

const Table kSiteTable{"site file", kSiteOptions};

}  // namespace lullwatt::io
