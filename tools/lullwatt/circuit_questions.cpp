#include <fmt/format.h>

#include "tools/lullwatt/circuit_text.hpp"
#include "tools/lullwatt/circuit_words.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {
namespace {

std::string settings_asked(const io::Household& house, const CircuitAnswer& answer) {
    std::string text;
    for (const PointAdvice& advice : answer.points) {
        const site::Point& point = house.site.site.points[advice.point];
        const site::Node& circuit = house.site.site.nodes[point.circuit];
        text += fmt::format(
            "  {} on {} ({:g} A breaker): set to {}; by this sheet at most {}. Agreed: ______ A\n",
            point.name, circuit.name, circuit.rating.count(), amps_text(point.hard_setting),
            advice.most == WholeAmps(0) ? "nothing" : amps_text(advice.most));
    }
    return text;
}

constexpr const char* kAmerican =
    "  [ ] Who pulls the permit, and who inspects?\n"
    "  [ ] Which edition of the code is in force here, with which local changes?\n"
    "  [ ] Which load calculation do you sign, and how does the authority read the cars' equipment in it?\n"
    "  [ ] The largest branch breaker that the equipment's manual permits: ______ A\n"
    "  [ ] Hard-wired, or a receptacle of which make and rating? GFCI breaker: does the manual want or "
    "forbid it?\n"
    "  [ ] Is a disconnect required, and where (60 A and more, or more than 150 V to ground)?\n"
    "  [ ] Terminals: marked 75 C at both ends, for this wire's metal and size? Torque: ______, tightened "
    "with a\n"
    "      torque tool, value written down?\n"
    "  [ ] Grounding conductor of which size? A detached building: grounding electrode, four-wire feeder, "
    "disconnect?\n"
    "  [ ] Burial depth, conduit, and what already lies in the conduit?\n"
    "  [ ] The installer's setting behind a cover that needs a tool, or a password, and on the label?\n";

constexpr const char* kEuropean =
    "  [ ] Does the network operator want to be told, or to agree, before it is connected?\n"
    "  [ ] Main fuse, meter tails, earthing conductor and bonding: sized for the new maximum demand?\n"
    "  [ ] Earthing at the point: tn-s, tn-c-s or tt; what protects where a combined conductor breaks?\n"
    "  [ ] 30 mA protection for this point alone: type B, or A or F with 6 mA DC detection in the "
    "equipment?\n"
    "  [ ] Overload device: type and rating; fault loop impedance measured: ______ ohm\n"
    "  [ ] Surge protection: fitted, or the risk judged?\n"
    "  [ ] Cable: size, kind, how it lies, what lies beside it; voltage drop from the origin: ______ %\n"
    "  [ ] Terminals tightened with a torque tool, value written down? Burial depth and marking?\n"
    "  [ ] The installer's setting: protected from change, and on the label?\n"
    "  [ ] The certificate, and what it says of the load that was reckoned\n";

}  // namespace

std::string questions_text(const io::Household& house, const CircuitAnswer& answer) {
    std::string text = fmt::format(
        "{}: for the electrician\n\nThe setting asked for, with no load management:\n", house.site.name);
    text += settings_asked(house, answer);
    text += fmt::format("\nService: {:g} A. Wanted beside it in the years to come:",
                        house.site.site.nodes[0].rating.count());
    text += answer.added.empty() ? " nothing was named (--with)\n" : "\n";
    for (const std::string& line : answer.added) text += "  " + line + "\n";
    const bool iec = house.site.site.nodes[0].continuous.basis == site::ShareBasis::iec;
    return text + "\nTo ask and to write down:\n" + (iec ? kEuropean : kAmerican) + "\n" + kCircuitCautions +
           "\n\n" + kEmergency + "\n";
}

}  // namespace lullwatt::tools
