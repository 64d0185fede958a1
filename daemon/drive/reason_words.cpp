#include "daemon/drive/reason_words.hpp"

#include <fmt/format.h>

namespace lullwatt::daemon {
namespace {

using control::Bind;

struct Words {
    const char* word;
    const char* clause;  // {} stands for the place
};

Words words_of(Bind bind) {
    switch (bind) {
        case Bind::plan:
            return {"plan", "as planned"};
        case Bind::waiting:
            return {"waiting", "waits for the planned hours"};
        case Bind::past_plan:
            return {"past-plan", "the plan is over"};
        case Bind::no_plan_yet:
            return {"no-plan-yet", "nothing is planned yet; what is offered stays"};
        case Bind::clock_unproven:
            return {"clock-unproven", "the clock is not proven, so no plan can be read"};
        case Bind::hold:
            return {"hold", "held, as the household said"};
        case Bind::installer_setting:
            return {"installer-setting", "its installer set no more"};
        case Bind::receptacle:
            return {"receptacle", "its receptacle bears no more for hours"};
        case Bind::limit:
            return {"limit", "the house leaves no more at {}"};
        case Bind::rating:
            return {"rating", "the rating of {} was passed"};
        case Bind::ceiling:
            return {"ceiling", "an outside ceiling holds {} down"};
        case Bind::unbalance:
            return {"unbalance", "cars may load no leg of {} further above the others"};
        case Bind::calm_time:
            return {"calm-time", "{} is not quiet for long enough yet"};
        case Bind::lease_cap:
            return {"lease-cap", "no more may flow at {} should this computer die"};
        case Bind::stale:
            return {"stale", "the meter of {} is silent, so the house counts at its worst"};
        case Bind::stale_for_long:
            return {"stale-for-long", "the meter of {} has been silent for over two minutes"};
        case Bind::unmetered:
            return {"unmetered", "{} has no meter, so the house counts at its worst"};
        case Bind::other_point:
            return {"other-point", "another point has its amperes at {} still"};
        case Bind::below_minimum:
            return {"below-minimum", "paused: {} leaves less than the least current"};
        case Bind::resume_wait:
            return {"resume-wait", "paused: there is room again at {}, but not for five minutes yet"};
        case Bind::interruption:
            return {"interruption",
                    "the supply was interrupted; it waits so that a street does not start at once"};
        case Bind::write_budget:
            return {"write-budget", "the night's writes into the equipment are spent"};
        case Bind::unheard:
            return {"unheard", "its equipment has not been heard since the start"};
        case Bind::link_lost:
            return {"link-lost", "its link is lost; what it was lent runs out"};
        case Bind::no_car:
            return {"no-car", "no car is there"};
        case Bind::car_done:
            return {"car-done", "the car is done"};
        case Bind::fault:
            return {"fault", "its equipment reports a fault"};
    }
    return {"plan", "as planned"};
}

}  // namespace

std::string reason_text(const control::Reason& reason, const site::Site& site) {
    const std::string place = reason.node ? fmt::format("{}, leg L{}", site.nodes[*reason.node].name,
                                                        static_cast<int>(reason.leg) + 1)
                                          : std::string("the supply");
    return fmt::format(fmt::runtime(words_of(reason.bind).clause), place);
}

std::string reason_word(Bind bind) { return words_of(bind).word; }

std::string status_word(control::PointStatus status) {
    switch (status) {
        case control::PointStatus::empty:
            return "empty";
        case control::PointStatus::connected:
            return "connected";
        case control::PointStatus::charging:
            return "charging";
        case control::PointStatus::suspended_by_car:
            return "suspended-by-car";
        case control::PointStatus::suspended_by_us:
            return "suspended";
        case control::PointStatus::finished:
            return "finished";
        case control::PointStatus::faulted:
            return "faulted";
    }
    return "empty";
}

}  // namespace lullwatt::daemon
