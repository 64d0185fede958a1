// One car, one night, as asked on the command line: what `when`, `plan` and `why` have in common.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "core/plan/assemble.hpp"
#include "core/plan/when.hpp"
#include "io/household/household.hpp"
#include "tools/lullwatt/site_option.hpp"

namespace lullwatt::tools {

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
    std::vector<std::string> left_empty;  // options given with an empty value
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
    plan::Request request;
    std::optional<StateOfCharge> charge;  // where the household told it
    tariff::PriceCurve prices;            // over `asked`
    site::SiteLoads loads;                // over `asked`
    Interval asked;  // a day to either side of `present`, for what would cure a shortfall
    plan::Problem problem;

    [[nodiscard]] const io::CarSettings& settings() const { return household.site.cars[car]; }
    [[nodiscard]] const site::Point& point() const { return household.site.site.points[settings().point]; }
    // The same question for another presence; empty outside `asked`.
    [[nodiscard]] std::optional<plan::Problem> rephrased(Interval other) const;
    // The same question with one ampere more of room at a node of the site, all night.
    [[nodiscard]] plan::Problem relieved(std::size_t node) const;
};

// Reads the house and settles the question; faults name the option or the file.
[[nodiscard]] io::Read<Question> ask(const QuestionOptions& options);
// The same about a house that has been read; `at` and `site` of the options do not count.
[[nodiscard]] io::Read<Question> settle(const QuestionOptions& options,
                                        std::shared_ptr<const io::Household> household, Instant now,
                                        const plan::Hold& hold);
// Options given with an empty value; and one that got something else than a time.
[[nodiscard]] io::Faults left_empty(const QuestionOptions& options);
[[nodiscard]] io::Fault no_time(std::string option, const std::string& text);

}  // namespace lullwatt::tools
