// The house's minutes: mean, greatest and least of every leg of a metered node, as rows of the ledger.
//
// Loop thread only.
#pragma once

#include <map>
#include <memory>
#include <optional>

#include "daemon/ports/clock.hpp"
#include "daemon/ports/store.hpp"
#include "io/household/household.hpp"

namespace lullwatt::daemon {

class Minutes {
  public:
    // REQUIRES: the store outlives it.
    Minutes(Store& store, std::shared_ptr<const io::Household> household)
        : store_(store), household_(std::move(household)) {}
    // What a minute has so far under the old settings is kept by its node's name.
    void change(std::shared_ptr<const io::Household> household);

    // A sample of a meter, at this time by the wall clock; not to be told while that is unproven. A minute is
    // written when the first sample of another one comes.
    void sampled(std::size_t node, const site::LegAmps& amps, Instant at);

  private:
    struct Leg {
        double sum = 0;
        Amps most;
        Amps least;
    };
    struct Minute {
        Instant begin;
        int samples = 0;
        std::array<Leg, 3> legs{};
    };
    void write(std::size_t node, const Minute& minute);

    Store& store_;
    std::shared_ptr<const io::Household> household_;
    std::map<std::size_t, Minute> open_;  // by node
};

}  // namespace lullwatt::daemon
