#include "tools/lullwatt/question.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

#include <date/date.h>
#include <fmt/format.h>

#include "core/plan/joint.hpp"
#include "io/settings/scalar.hpp"
#include "tools/lullwatt/option_fault.hpp"
#include "tools/lullwatt/outings.hpp"
#include "tools/lullwatt/time_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

constexpr date::days kLongestPresence{8};

// What an option that measures something takes, and one of it for messages.
struct Measure {
    const char* option;
    io::Kind kind;
    double greatest;  // in the kind's unit
    const char* sample;
};
constexpr Measure kNeed{"--need", io::Kind::energy, 250, "18.6"};
constexpr Measure kFloor{"--floor", io::Kind::energy, 250, "5"};
constexpr Measure kDistance{"--distance", io::Kind::distance, 2000, "60"};
constexpr Measure kFromSoc{"--from-soc", io::Kind::percent, 100, "40"};
constexpr Measure kToSoc{"--to-soc", io::Kind::percent, 100, "80"};
constexpr Measure kMonthPeak{"--month-peak", io::Kind::demand, 1000, "5.2"};
constexpr Measure kMonthUse{"--month-use", io::Kind::energy, 100'000, "310"};

// A value with a unit as in a site file; a bare number is read in the unit the option's help names.
template <class Value>
std::optional<Value> measured(const Measure& measure, const std::string& text, io::Faults& faults) {
    const io::Option rule{.kind = measure.kind, .least = 0, .greatest = measure.greatest};
    const bool bare = text.find_first_not_of("+-0123456789.,eE") == std::string::npos;
    const std::string unit(io::unit_text(measure.kind));
    const auto parsed = io::parse_scalar(rule, measure.kind, bare ? text + " " + unit : text);
    if (const auto* scalar = std::get_if<io::Scalar>(&parsed)) return std::get<Value>(*scalar);
    const auto& error = std::get<io::ScalarError>(parsed);
    const bool bare_word = text.find_first_of("0123456789") == std::string::npos;
    faults.push_back(
        option_fault(measure.option, bare_word ? "is not a number" : error.what, text, io::allowed_text(rule),
                     error.mend.empty() || bare_word
                         ? fmt::format("write it as in '{} {}', in {}", measure.option, measure.sample, unit)
                         : error.mend));
    return std::nullopt;
}

std::optional<std::size_t> car_named(const io::SiteFile& site, const std::string& name, io::Faults& faults) {
    std::vector<std::string> names;
    std::string known;
    for (const auto& car : site.cars) {
        names.push_back(car.car.name);
        known += (known.empty() ? "" : ", ") + car.car.name;
    }
    if (name.empty() && names.size() == 1) return 0;
    const auto found = std::ranges::find(names, name);
    if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
    const auto meant = io::nearest(name, names);
    faults.push_back(
        option_fault("--car", name.empty() ? "is missing: there are several cars" : "is no car of this house",
                     name, known, meant ? fmt::format("did you mean '{}'?", *meant) : "say which"));
    return std::nullopt;
}

struct StatedNeed {
    vehicle::Need need;
    std::optional<StateOfCharge> charge;
};

StatedNeed stated_need(const QuestionOptions& options, const io::CarSettings& car, io::Faults& faults) {
    const bool by_charge = !options.from_soc.empty() || !options.to_soc.empty();
    if (!options.need.empty() + by_charge + !options.distance.empty() + options.fill > 1) {
        faults.push_back(option_fault("--need", "is one of several needs given", "",
                                      "one of --need, --from-soc with --to-soc, --distance, --fill"));
        return {};
    }
    const auto percent = [&](const Measure& measure, const std::string& text, double otherwise) {
        if (text.empty()) return StateOfCharge{otherwise};
        const auto read = measured<io::Percent>(measure, text, faults);
        return StateOfCharge{read ? read->percent : otherwise};
    };
    if (by_charge) {
        if (options.from_soc.empty()) {
            faults.push_back(option_fault("--from-soc", "is missing beside --to-soc", "", "0 % to 100 %"));
        }
        const vehicle::ChargeRange range{percent(kFromSoc, options.from_soc, 0),
                                         percent(kToSoc, options.to_soc, 100)};
        if (range.to < range.from) {
            faults.push_back(option_fault(
                "--to-soc",
                fmt::format("is below --from-soc, {:g} %: charging fills and never empties",
                            range.from.percent),
                options.to_soc,
                range.from.percent == 100 ? "100 %" : fmt::format("{:g} % to 100 %", range.from.percent),
                "swap the two if one was taken for the other"));
        }
        return {range, range.from};
    }
    if (!options.need.empty()) {
        const auto energy = measured<WattHours>(kNeed, options.need, faults);
        return {vehicle::RegisterEnergy{energy.value_or(WattHours(0))}, {}};
    }
    if (!options.distance.empty()) {
        const auto far = measured<Kilometres>(kDistance, options.distance, faults);
        if (!car.car.per_100_km) {
            faults.push_back(
                option_fault("--distance", fmt::format("needs the consumption of {}", car.car.name),
                             options.distance, "", "add 'consumption' to the car in the site file"));
        }
        return {vehicle::Distance{far.value_or(Kilometres(0))}, {}};
    }
    return {options.fill ? vehicle::Need{vehicle::Fill{}} : car.need, {}};
}

// The next time the car leaves by habit, or is to be ready on days without one.
struct Ready {
    CivilTime label;
    Instant at;
};
Ready usual_ready_by(const io::CarSettings& car, const Zone& zone, Instant after) {
    const auto today = date::floor<date::days>(zone.civil(after));
    for (int days = 0;; ++days) {
        const auto day = today + date::days{days};
        const vehicle::Habit* habit = vehicle::habit_on(car.habits, CivilDate{day});
        const CivilTime label = day + (habit != nullptr ? habit->leaves : car.ready_by);
        const Instant ready = zone.instant(label);
        if (ready > after) return {label, ready};
    }
}

std::optional<Instant> time_option(const char* option, const std::string& text, const Zone& zone,
                                   Instant after, Instant otherwise, io::Faults& faults) {
    if (text.empty()) return otherwise;
    const auto at = parse_time(text, zone, after);
    if (!at) faults.push_back(no_time(option, text));
    return at;
}

std::optional<plan::Preference> preference(const QuestionOptions& options, const io::CarSettings& car,
                                           io::Faults& faults) {
    constexpr std::array<std::string_view, 3> kWords = {"early", "late", "gentle"};
    if (options.preference.empty()) return car.preference;
    const auto found = std::ranges::find(kWords, options.preference);
    if (found != kWords.end()) return static_cast<plan::Preference>(found - kWords.begin());
    faults.push_back(option_fault("--preference", "is not one of the choices", options.preference,
                                  "early | late | gentle"));
    return std::nullopt;
}

void settle_presence(const QuestionOptions& options, Question& question, io::Faults& faults) {
    const Zone& zone = question.household.zone;
    const auto plug_in =
        time_option("--plug-in", options.plug_in, zone, question.now - Seconds{1}, question.now, faults);
    if (!plug_in) return;
    const Ready usual = usual_ready_by(question.settings(), zone, *plug_in);
    const auto ready_by = time_option("--ready-by", options.ready_by, zone, *plug_in, usual.at, faults);
    if (!ready_by) return;
    question.present = {*plug_in, *ready_by};
    const auto label =
        options.ready_by.empty() ? std::optional(usual.label) : parse_label(options.ready_by, zone, *plug_in);
    if (label) question.ready_by_note = label_note(zone, *label);
    if (*plug_in < question.now) {
        faults.push_back(option_fault("--plug-in", "is in the past", options.plug_in, "now or later",
                                      "or say --at, as if now were then"));
    }
    if (*ready_by - *plug_in < Seconds{60}) {
        faults.push_back(option_fault("--ready-by", "leaves no minute after the plug-in", options.ready_by,
                                      "a later time"));
    }
    if (*ready_by - *plug_in > kLongestPresence) {
        faults.push_back(option_fault("--ready-by", "is more than eight days after the plug-in",
                                      options.ready_by, "up to eight days"));
    }
}

void settle_request(const QuestionOptions& options, Question& question, io::Faults& faults) {
    const auto stated = stated_need(options, question.settings(), faults);
    const auto wish = preference(options, question.settings(), faults);
    WattHours floor = question.settings().floor;
    if (!options.floor.empty()) {
        floor = measured<WattHours>(kFloor, options.floor, faults).value_or(floor);
    }
    if (!faults.empty()) return;
    const auto energy = vehicle::energy_at_register(question.settings().car, stated.need);
    const MilliwattHours whole = vehicle::between(question.settings().car, {0}, {100});
    const char* const measured_by = !options.need.empty() ? "--need" : "--distance";
    if (energy.value_or(whole) > whole && !(options.need.empty() && options.distance.empty())) {
        faults.push_back(option_fault(measured_by,
                                      "is more than an empty battery takes, " + energy_text(whole),
                                      options.need.empty() ? options.distance : options.need,
                                      "up to " + energy_text(whole) + " at the register"));
        return;
    }
    if (!options.floor.empty() && MilliwattHours(floor) > energy.value_or(MilliwattHours{})) {
        const std::string need = energy_text(energy.value_or(MilliwattHours{}));
        faults.push_back(option_fault("--floor",
                                      fmt::format("is above the need, {}, of which it is a part", need),
                                      options.floor, "0 kWh to " + need, "lower it, or raise the need"));
        return;
    }
    question.charge = stated.charge;
    question.request = {.present = question.present,
                        .need = energy.value_or(MilliwattHours{}),
                        .floor = floor,
                        .start_cost = question.household.site.start_cost,
                        .preference = *wish,
                        .price_cap = question.settings().price_cap};
    if (vehicle::told_at_battery(stated.need)) question.request.overhead = question.settings().car.overhead;
    question.stated = stated.need;
    settle_outings(question, energy.value_or(MilliwattHours{}), question.request);
}

void settle_month(const QuestionOptions& options, Question& question, io::Faults& faults) {
    if (!options.month_peak.empty()) {
        const auto peak = measured<Milliwatts>(kMonthPeak, options.month_peak, faults);
        if (peak) question.so_far.peak = *peak;
    }
    if (!options.month_use.empty()) {
        const auto use = measured<WattHours>(kMonthUse, options.month_use, faults);
        if (use) question.so_far.use = *use;
    }
}

}  // namespace

io::Faults left_empty(const QuestionOptions& options) {
    io::Faults empty;
    for (const std::string& option : options.left_empty) {
        empty.push_back(option_fault(option, "is empty", "", "", "give it a value, or leave it out"));
    }
    return empty;
}

io::Fault no_time(std::string option, const std::string& text) {
    return option_fault(std::move(option), "is no time", text, kTimeForms);
}

bool QuestionOptions::of_one_car() const {
    return fill || !(need.empty() && from_soc.empty() && to_soc.empty() && distance.empty() &&
                     floor.empty() && plug_in.empty() && ready_by.empty() && preference.empty());
}

std::optional<plan::Problem> Question::rephrased(Interval other) const {
    if (other.begin < asked.begin || other.end > asked.end) return std::nullopt;
    plan::Request same = request;
    same.present = other;
    const MilliwattHours whole =
        vehicle::energy_at_register(settings().car, stated).value_or(MilliwattHours{});
    settle_outings(*this, std::max<MilliwattHours>(whole - done, MilliwattHours{}), same);
    return assembled(same, {});
}

io::MonthOfNight Question::month_of(const plan::Problem& other) const {
    return io::month_of_night(household, settings().point, other, loads, now, so_far, beside);
}

void Question::stand_beside(std::vector<plan::Taken> others) {
    beside = std::move(others);
    asked_problem = rephrased(present).value();
    problem = asked_problem;
    month = month_of(asked_problem);
}

plan::MonthPlan Question::plan() {
    plan::MonthPlan found = plan::solve_month(asked_problem, month.costs);
    problem = found.problem;
    return found;
}

plan::Problem Question::relieved(std::size_t node) const {
    return assembled(request, site::Relief{node, Amps(1)});
}

plan::Problem Question::assembled(const plan::Request& same,
                                  const std::optional<site::Relief>& relief) const {
    const site::Site& site = household.site.site;
    const std::size_t at = settings().point;
    if (beside.empty())
        return plan::assemble(site, at, settings().car, loads, household.unattended, prices, household.zone,
                              same, hold, relief);
    const plan::JointProblem joint =
        plan::assemble_joint(site, {{at, settings().car, same, &prices, hold}}, loads, household.unattended,
                             household.zone, beside, relief);
    return plan::left_for(joint, 0, same.present);
}

io::Read<std::size_t> chosen_car(const House& house, const QuestionOptions& options) {
    io::Faults faults;
    const auto car = car_named(house.household->site, options.car, faults);
    if (!car) return faults;
    return *car;
}

io::Read<double> proof_seconds(const QuestionOptions& options) {
    constexpr double kUsual = 2;
    constexpr double kMost = 3600;
    if (options.proof_time.empty()) return kUsual;
    const char* const end = options.proof_time.data() + options.proof_time.size();
    double seconds = 0;
    const auto read = std::from_chars(options.proof_time.data(), end, seconds);
    if (read.ec == std::errc{} && read.ptr == end && seconds >= 0 && seconds <= kMost) return seconds;
    return io::Faults{option_fault("--proof-time", "is no number of seconds", options.proof_time,
                                   "0 to 3600, as in '2' or '0.5'")};
}

io::Read<Question> settle(const QuestionOptions& options, std::shared_ptr<const io::Household> household,
                          Instant now, const plan::Hold& hold) {
    const House house{std::move(household), now, hold};
    const auto car = chosen_car(house, options);
    if (!car.ok()) return car.faults();
    return ask(house, options, car.value());
}

io::Read<Question> ask(const House& house, const QuestionOptions& options, std::size_t car) {
    io::Faults faults = left_empty(options);
    if (!faults.empty()) return faults;
    Question question{.owned = house.household,
                      .household = *house.household,
                      .car = car,
                      .now = house.now,
                      .hold = house.hold};
    settle_presence(options, question, faults);
    settle_request(options, question, faults);
    settle_month(options, question, faults);
    if (!faults.empty()) return faults;

    question.asked = {question.present.begin - kDay, question.present.end + kDay};
    auto prices = io::prices(question.household, question.settings().point, question.asked);
    if (!prices.ok()) {
        question.asked = question.present;
        prices = io::prices(question.household, question.settings().point, question.asked);
    }
    if (!prices.ok()) return prices.faults();
    question.prices = std::move(prices).value();
    question.loads = io::loads(question.household, question.asked);
    question.problem = question.rephrased(question.present).value();
    question.asked_problem = question.problem;
    question.month = question.month_of(question.problem);
    return question;
}

}  // namespace lullwatt::tools
