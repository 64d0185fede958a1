// One car, one night, as asked on the command line: what `when`, `plan` and `why` have in common.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/plan/assemble_joint.hpp"
#include "core/plan/month_when.hpp"
#include "io/household/month_costs.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {

inline constexpr date::days kDay{1};

// As typed; what is empty was not.
struct QuestionOptions {
    SiteOption site;
    std::string socket;  // of the daemon; empty: the usual one
    std::string at;
    std::string car;
    std::string need;
    std::string from_soc;
    std::string to_soc;
    std::string distance;
    bool fill = false;
    std::string floor;
    std::string plug_in;
    std::string ready_by;
    std::string preference;
    bool alone = false;
    std::string proof_time;
    std::string month_peak;
    std::string month_use;
    std::vector<std::string> left_empty;  // options given with an empty value

    // Something was said of one car.
    [[nodiscard]] bool of_one_car() const;
};

void add_question_options(CLI::App& app, QuestionOptions& options);
// Those of them that say what a car needs by when.
void add_need_options(CLI::App& app, QuestionOptions& options);

// The question with everything it stands on.
struct Question {
    std::shared_ptr<const io::Household> owned;
    const io::Household& household;
    std::size_t car = 0;
    Instant now;
    plan::Hold hold;
    Interval present;           // plug-in to ready-by
    std::string ready_by_note;  // where its label exists not once, but never or twice
    vehicle::Need stated;
    MilliwattHours done;  // of it, already charged at the register
    plan::Request request;
    std::optional<StateOfCharge> charge;  // where the household told it
    tariff::PriceCurve prices;            // over `asked`
    site::SiteLoads loads;                // over `asked`
    Interval asked;                   // a day to either side of `present`, for what would cure a shortfall
    std::vector<plan::Taken> beside;  // what other points will draw, as planned
    // As it is planned: where the bill charges for the month, with the prices and the room that makes.
    plan::Problem problem;
    plan::Problem asked_problem;  // before that
    io::MonthSoFar so_far;        // where the household told it
    io::MonthOfNight month;

    [[nodiscard]] const io::CarSettings& settings() const { return household.site.cars[car]; }
    [[nodiscard]] const site::Point& point() const { return household.site.site.points[settings().point]; }
    // How far its plug-in and its ready-by could be moved without another time out by habit.
    [[nodiscard]] Instant earliest_plug_in() const;
    [[nodiscard]] Instant latest_ready_by() const;
    // The same question for another presence, its times out included; empty outside `asked`.
    [[nodiscard]] std::optional<plan::Problem> rephrased(Interval other) const;
    // What another presence of the same car adds to its bills. REQUIRES: rephrased(…) gave `other`.
    [[nodiscard]] io::MonthOfNight month_of(const plan::Problem& other) const;
    // The same night beside what other points will draw. REQUIRES: present within `asked`.
    void stand_beside(std::vector<plan::Taken> others);
    // The best plan; `problem` is then as it was planned.
    [[nodiscard]] plan::MonthPlan plan();
    // The same question with one ampere more of room at a node of the site, all night.
    [[nodiscard]] plan::Problem relieved(std::size_t node) const;

  private:
    [[nodiscard]] plan::Problem assembled(const plan::Request& same,
                                          const std::optional<site::Relief>& relief) const;
};

// The house that is asked about, and the time that counts as now.
struct House {
    std::shared_ptr<const io::Household> household;
    Instant now;
    plan::Hold hold = {};  // what the household said of the car asked about
};

// Reads the house; faults name the option or the file.
[[nodiscard]] io::Read<House> read_house(const QuestionOptions& options);
// The car that --car names, or the only one.
[[nodiscard]] io::Read<std::size_t> chosen_car(const House& house, const QuestionOptions& options);
// Settles what is asked of one car of it; `at` and `site` of the options do not count.
[[nodiscard]] io::Read<Question> ask(const House& house, const QuestionOptions& options, std::size_t car);
// The same of the car the options name.
[[nodiscard]] io::Read<Question> settle(const QuestionOptions& options,
                                        std::shared_ptr<const io::Household> household, Instant now,
                                        const plan::Hold& hold);
// Seconds a proof may take; 2 where it is not said.
[[nodiscard]] io::Read<double> proof_seconds(const QuestionOptions& options);
// Options given with an empty value; and one that got something else than a time.
[[nodiscard]] io::Faults left_empty(const QuestionOptions& options);
[[nodiscard]] io::Fault no_time(std::string option, const std::string& text);

}  // namespace lullwatt::tools
