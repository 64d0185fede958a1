#include <array>

#include "io/settings/site_tables.hpp"

namespace lullwatt::io {
namespace {

constexpr std::array kSimulatedLoadOptions = {
    Option{.key = "name", .required = true, .sample = "oven", .consequence = "What it is."},
    Option{.key = "node", .consequence = "Where it hangs; without it, at the service."},
    Option{.key = "current",
           .kind = Kind::amps,
           .required = true,
           .sample = "20 A",
           .least = 0.1,
           .greatest = 200,
           .consequence = "What it draws on each of its legs."},
    Option{.key = "legs",
           .kind = Kind::list,
           .choices = "L1 | L2 | L3",
           .element = Kind::choice,
           .consequence = "Its legs; without it, all of the node's."},
    Option{.key = "from",
           .kind = Kind::time_of_day,
           .required = true,
           .sample = "\"18:00\"",
           .consequence = "When it comes on, every day."},
    Option{.key = "lasts",
           .kind = Kind::duration,
           .required = true,
           .sample = "45 min",
           .least = 1,
           .greatest = 86'400,
           .consequence = "For how long it is on."},
};
constexpr Table kSimulatedLoad{"simulated load", kSimulatedLoadOptions};

constexpr std::array kSimulationOptions = {
    Option{.key = "seed",
           .kind = Kind::whole_number,
           .fallback = "1",
           .least = 0,
           .greatest = 1'000'000'000,
           .consequence = "Another one makes other days by chance."},
    Option{.key = "household",
           .kind = Kind::boolean,
           .fallback = "yes",
           .consequence =
               "Whether the usual appliances of an electrically heated split-phase house come and go."},
    Option{.key = "loads",
           .kind = Kind::sections,
           .table = &kSimulatedLoad,
           .consequence = "Appliances at hours of their own."},
};

}  // namespace

const Table kSimulationTable{"simulation", kSimulationOptions};

}  // namespace lullwatt::io
