// What one point's car draws, from what was commanded and what was reported, both of different ages.
//
// Owned by the limiter; one thread. Times never go backwards.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "core/control/input.hpp"
#include "core/control/options.hpp"

namespace lullwatt::control {

// One profile as the equipment may hold it.
struct Command {
    std::uint64_t number = 0;  // 0: not ours, found in force
    BootTime sent;
    WholeAmps amps;
    std::optional<BootTime> ends;  // after it: `then`
    WholeAmps then;
    std::optional<BootTime> answered;  // when the equipment took it
    bool fall_measured = false;        // superseded, and the car seen below it: its amperes are free

    [[nodiscard]] WholeAmps at(BootTime time) const { return ends && time >= *ends ? then : amps; }
};

// The least and the greatest that a car may draw.
struct CarAmps {
    site::LegAmps low{};
    site::LegAmps high{};
};

class CurrentModel {
  public:
    CurrentModel(site::Legs legs, const LimiterOptions& options);

    void sent(const Command& command);
    void accepted(std::uint64_t number, BootTime at);
    // What was refused; empty where no such write is known.
    std::optional<WholeAmps> refused(std::uint64_t number);
    // Equipment that started again may have forgotten what it was told: `standing` may be in force.
    void started_over(WholeAmps standing, BootTime at);
    void report(const PointReport& report, WholeAmps standing);

    // Whether anything is known of what is offered.
    [[nodiscard]] bool known() const { return !commands_.empty(); }
    [[nodiscard]] const Command* newest() const { return known() ? &commands_.back() : nullptr; }
    // Commands that may matter still.
    [[nodiscard]] std::size_t remembered() const { return commands_.size(); }
    [[nodiscard]] PointStatus status() const { return status_; }
    [[nodiscard]] Milliseconds response() const { return response_; }

    // The car's current at `time` as a meter may show it then.
    [[nodiscard]] CarAmps current(BootTime time) const;

    // What the car follows or is about to: the newest command, unless it has been unanswered too long, in
    // which case the greatest that may be in force.
    [[nodiscard]] WholeAmps expected(BootTime now) const;

    // What nobody else may have: the greatest that may be in force, and the old command's amperes until the
    // car's fall is measured or the old lease has ended.
    [[nodiscard]] WholeAmps reserved(BootTime now) const;

    // Whether the newest command was not answered in time, and is to be sent again.
    [[nodiscard]] bool unanswered(BootTime now) const;

  private:
    struct Range {
        WholeAmps low;
        WholeAmps high;
    };
    [[nodiscard]] Range in_force(BootTime from, BootTime to) const;
    [[nodiscard]] bool draws_nothing() const;
    void note_fall(const PointReport& report);
    void note_cap(const PointReport& report);
    void learn_response(const PointReport& report);
    void forget_old(BootTime now);

    site::Legs legs_;
    LimiterOptions options_;
    std::vector<Command> commands_;  // ascending by time sent; those that may matter still
    std::array<std::optional<Amps>, 3> cap_;
    PointStatus status_ = PointStatus::charging;
    Milliseconds response_;
    std::vector<Milliseconds> observed_;  // the last five responses seen
    std::uint64_t last_learned_ = 0;
    std::optional<BootTime> unanswered_since_;  // the first of the writes nobody has answered
    std::optional<BootTime> last_report_;
    std::optional<Amps> last_current_;
};

}  // namespace lullwatt::control
