#include "io/greenbutton/greenbutton.hpp"

#include <array>

#include "support/catch.hpp"
#include "support/house.hpp"

using namespace lullwatt;
using namespace lullwatt::io;
using namespace std::chrono_literals;

namespace {

// The parts of a small feed; each case changes one.
struct FeedParts {
    std::string service = "<ServiceCategory><kind>0</kind></ServiceCategory>";
    std::string type =
        "<accumulationBehaviour>4</accumulationBehaviour><currency>124</currency><flowDirection>1</"
        "flowDirection>"
        "<intervalLength>900</intervalLength><powerOfTenMultiplier>0</powerOfTenMultiplier><uom>72</uom>";
    std::string type_link = "ReadingType/1";
    std::string block =
        "<interval><duration>1800</duration><start>1768392000</start></interval>"
        "<IntervalReading><value>100</value></IntervalReading>"
        "<IntervalReading><value>200</value></IntervalReading>";
    std::string more;
};

std::string entry(const std::string& self, const std::string& up, const std::string& related,
                  const std::string& content) {
    std::string links = "<link rel=\"self\" href=\"" + self + "\"/><link rel=\"up\" href=\"" + up + "\"/>";
    if (!related.empty()) links += "<link rel=\"related\" href=\"" + related + "\"/>";
    return "<entry>" + links + "<title>t</title><content>" + content + "</content></entry>\n";
}

std::string feed(const FeedParts& parts) {
    return "<feed>\n" +
           entry("UsagePoint/1", "UsagePoint", "UsagePoint/1/MeterReading",
                 "<UsagePoint>" + parts.service + "</UsagePoint>") +
           entry("UsagePoint/1/MeterReading/1", "UsagePoint/1/MeterReading", parts.type_link,
                 "<MeterReading/>") +
           entry("ReadingType/1", "ReadingType", "", "<ReadingType>" + parts.type + "</ReadingType>") +
           entry("UsagePoint/1/MeterReading/1/IntervalBlock/1", "UsagePoint/1/MeterReading/1/IntervalBlock",
                 "", "<IntervalBlock>" + parts.block + "</IntervalBlock>") +
           parts.more + "</feed>\n";
}

std::string told(const Faults& faults) {
    std::string out;
    for (const Fault& fault : faults) out += text(fault) + "\n";
    return out;
}

MeterSeries series_of(const FeedParts& parts) {
    const auto read = parse_green_button(feed(parts), "gb.xml");
    REQUIRE(read.ok());
    const auto& series = read.value().meters.at(0).series;
    if (!series.ok()) FAIL(told(series.faults()));
    return series.value();
}

// The faults of the file, or of its first meter.
std::string faults_of(const std::string& text) {
    const auto read = parse_green_button(text, "gb.xml");
    if (!read.ok()) return told(read.faults());
    const auto& series = read.value().meters.at(0).series;
    return series.ok() ? "" : told(series.faults());
}

std::vector<std::int64_t> energies(const MeterSeries& series) {
    std::vector<std::int64_t> found;
    for (const EnergyReading& reading : series.kept) found.push_back(reading.energy.count());
    return found;
}

std::string with(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != text.npos);
    return text.replace(at, from.size(), to);
}

std::string reading(std::int64_t start, int seconds, std::int64_t value, const std::string& before = "") {
    return "<IntervalReading>" + before + "<timePeriod><duration>" + std::to_string(seconds) +
           "</duration><start>" + std::to_string(start) + "</start></timePeriod><value>" +
           std::to_string(value) + "</value></IntervalReading>";
}

constexpr std::int64_t kNoon = 1'768'392'000;  // 2026-01-14T12:00Z

}  // namespace

TEST_CASE("readings without a time take the type's interval one after the other") {
    const MeterSeries series = series_of({});
    CHECK(energies(series) == std::vector<std::int64_t>{100'000, 200'000});
    CHECK(series.kept[1].when ==
          Interval{tests::utc(2026, 1, 14, 12h + 15min), tests::utc(2026, 1, 14, 12h + 30min)});
    CHECK(series.flow == Flow::delivered);
    CHECK(series.currency == "CAD");
    CHECK(series.warnings.empty());
}

TEST_CASE("a value is its number times the power of ten, in watt-hours") {
    struct Power {
        int exponent;
        std::int64_t milliwatt_hours;
    };
    const auto power =
        GENERATE(Power{-6, 0}, Power{-3, 100}, Power{-2, 1'000}, Power{0, 100'000}, Power{3, 100'000'000});
    FeedParts parts;
    parts.type = with(parts.type, "<powerOfTenMultiplier>0",
                      "<powerOfTenMultiplier>" + std::to_string(power.exponent));
    CHECK(energies(series_of(parts))[0] == power.milliwatt_hours);
}

TEST_CASE("mean power times its time is energy") {
    FeedParts parts;
    parts.type = with(with(parts.type, "<uom>72", "<uom>38"), "<currency>",
                      "<dataQualifier>2</dataQualifier><currency>");
    CHECK(energies(series_of(parts)) == std::vector<std::int64_t>{25'000, 50'000});
}

TEST_CASE("a register is read at the end of each time, and its differences kept") {
    FeedParts parts;
    parts.type = with(parts.type, "Behaviour>4<", "Behaviour>1<");
    parts.block = reading(kNoon, 0, 5000) + reading(kNoon + 900, 0, 5100) + reading(kNoon + 1800, 0, 4000) +
                  reading(kNoon + 2700, 0, 4300);
    const MeterSeries series = series_of(parts);
    CHECK(energies(series) == std::vector<std::int64_t>{100'000, 300'000});
    CHECK(series.kept[1].when.begin == Instant{Seconds{kNoon + 1800}});
    CHECK(told(series.warnings) ==
          "gb.xml:5: value '5100 to 4000': is below the reading before it: left as a gap.\n");
}

TEST_CASE("the flow is told, energy has a sign only where it is net") {
    struct Direction {
        const char* code;
        Flow flow;
        std::size_t kept;
    };
    const auto direction = GENERATE(Direction{"1", Flow::delivered, 1}, Direction{"19", Flow::received, 1},
                                    Direction{"4", Flow::net, 2}, Direction{"20", Flow::total, 1});
    FeedParts parts;
    parts.type = with(parts.type, "<flowDirection>1", "<flowDirection>" + std::string(direction.code));
    parts.block = reading(kNoon, 900, 100) + reading(kNoon + 900, 900, -50);
    const MeterSeries series = series_of(parts);
    CHECK(series.flow == direction.flow);
    CHECK(series.kept.size() == direction.kept);
    CHECK(series.kept_out.size() == 2 - direction.kept);
}

TEST_CASE("quality is the worst one stated, else the type's") {
    const auto quality = [](const std::string& codes, const std::string& otherwise) {
        FeedParts parts;
        parts.type += "<defaultQuality>" + otherwise + "</defaultQuality>";
        std::string stated;
        for (const char code : codes) {
            stated += "<ReadingQuality><quality>" + std::string(code == 'q' ? "10" : std::string(1, code)) +
                      "</quality></ReadingQuality>";
        }
        parts.block = reading(kNoon, 900, 100, stated);
        return series_of(parts).kept.at(0).quality;
    };
    CHECK(quality("", "0") == Quality::measured);
    CHECK(quality("", "8") == Quality::estimated);
    CHECK(quality("0", "8") == Quality::measured);
    CHECK(quality("08", "0") == Quality::estimated);
    CHECK(quality("q8", "0") == Quality::questionable);
}

TEST_CASE("what cannot be kept is listed with its energy, and all adds up") {
    FeedParts parts;
    parts.block = reading(kNoon + 900, 900, 20, "<cost>7</cost>") + reading(kNoon, 900, 10) +
                  reading(kNoon, 900, 10) + reading(kNoon + 1000, 900, 40) + reading(kNoon + 1800, 0, 80) +
                  reading(kNoon + 2700, 900, 160) + reading(kNoon + 3600, 900, -320);
    const MeterSeries series = series_of(parts);
    CHECK(energies(series) == std::vector<std::int64_t>{10'000, 20'000, 160'000});
    CHECK(series.costs[1] == Money(70));
    CHECK_FALSE(series.costs[0].has_value());
    REQUIRE(series.kept_out.size() == 4);
    std::vector<std::string> why;
    for (const KeptOut& out : series.kept_out) why.push_back(out.why);
    CHECK(why == std::vector<std::string>{"stands twice", "overlaps a reading before it", "lasts 0 s",
                                          "is negative where energy has no sign"});
    CHECK(told(series.warnings) ==
          "gb.xml:5: IntervalReading '2026-01-14T12:00:00Z to 2026-01-14T12:15:00Z, 10 Wh': stands twice: "
          "kept out.\n"
          "gb.xml:5: IntervalReading '2026-01-14T12:16:40Z to 2026-01-14T12:31:40Z, 40 Wh': overlaps a "
          "reading before "
          "it: kept out.\n"
          "gb.xml:5: IntervalReading '2026-01-14T12:30:00Z to 2026-01-14T12:30:00Z, 80 Wh': lasts 0 s: kept "
          "out.\n"
          "gb.xml:5: start '2026-01-14T12:30:00Z to 2026-01-14T12:45:00Z': leaves a gap before it.\n"
          "gb.xml:5: IntervalReading '2026-01-14T13:00:00Z to 2026-01-14T13:15:00Z, -320 Wh': is negative "
          "where energy "
          "has no sign: kept out.\n");
}

TEST_CASE("a summary that is not the sum of its readings is told") {
    FeedParts parts;
    parts.more = entry(
        "UsageSummary/1", "UsagePoint/1/UsageSummary", "",
        "<UsageSummary><billingPeriod><duration>1800</duration><start>1768392000</start></billingPeriod>"
        "<overallConsumptionLastPeriod><powerOfTenMultiplier>3</powerOfTenMultiplier><uom>72</uom>"
        "<value>1</value></overallConsumptionLastPeriod></UsageSummary>");
    const MeterSeries series = series_of(parts);
    REQUIRE(series.stated.has_value());
    CHECK(series.stated->energy == MilliwattHours(1'000'000));
    CHECK(told(series.warnings) ==
          "gb.xml: overallConsumptionLastPeriod '1000 Wh': is not the sum of the readings of its period. "
          "Allowed: 300 "
          "Wh.\n");
}

TEST_CASE("of several meters one is named, and a gas meter does not spoil the rest") {
    FeedParts parts;
    parts.more =
        entry("UsagePoint/2", "UsagePoint", "UsagePoint/2/MeterReading",
              "<UsagePoint><ServiceCategory><kind>1</kind></ServiceCategory></UsagePoint>") +
        entry("UsagePoint/2/MeterReading/9", "UsagePoint/2/MeterReading", "ReadingType/1", "<MeterReading/>");
    const auto read = parse_green_button(feed(parts), "gb.xml");
    REQUIRE(read.ok());
    REQUIRE(read.value().meters.size() == 2);
    CHECK(read.value().meters[0].series.ok());
    CHECK(told(read.value().meters[1].series.faults())
              .starts_with("gb.xml:6: ServiceCategory '1': is not electricity. Allowed: 0 (electricity). "
                           "Mend: choose another usage point."));
    CHECK(choose_meter(read.value(), "gb.xml", "UsagePoint/2").value() == 1);
    CHECK(choose_meter(read.value(), "gb.xml", "9").value() == 1);
    CHECK(told(choose_meter(read.value(), "gb.xml", std::nullopt).faults()) ==
          "gb.xml: usage point: is one of several. Allowed: UsagePoint/1/MeterReading/1 (t, t); "
          "UsagePoint/2/MeterReading/9 (t, t). Mend: name one of them.\n");
    CHECK(told(choose_meter(read.value(), "gb.xml", "3").faults()) ==
          "gb.xml: usage point '3': is not in the file. Allowed: UsagePoint/1/MeterReading/1 (t, t); "
          "UsagePoint/2/MeterReading/9 (t, t). Mend: name one of them.\n");
}

TEST_CASE("a namespace's prefix does not matter") {
    std::string text = feed({});
    for (const std::string name :
         {"IntervalBlock", "IntervalReading", "value", "ReadingType", "uom", "entry", "content"}) {
        for (const std::string open : {"<", "</"}) {
            for (auto at = text.find(open + name + ">"); at != text.npos;
                 at = text.find(open + name + ">", at)) {
                text.insert(at + open.size(), "ns0:");
            }
        }
    }
    const auto read = parse_green_button(text, "gb.xml");
    REQUIRE(read.ok());
    CHECK(energies(read.value().meters.at(0).series.value()) == std::vector<std::int64_t>{100'000, 200'000});
}

TEST_CASE("a faulty feed is refused with every fault's place and what is allowed") {
    const auto type = [](const std::string& from, const std::string& to) {
        FeedParts parts;
        parts.type = with(parts.type, from, to);
        return feed(parts);
    };
    const auto block = [](const std::string& content) {
        FeedParts parts;
        parts.block = content;
        return feed(parts);
    };
    FeedParts untyped;
    untyped.type_link = "ReadingType/2";
    struct Case {
        std::string text;
        std::string message;
    };
    const std::vector<Case> cases = {
        {"<feed><entry>",
         "gb.xml:1: is not readable as XML in UTF-8: Start-end tags mismatch. Mend: download it again; "
         "it may be cut short.\n"},
        {"",
         "gb.xml:1: is not readable as XML in UTF-8: No document element found. Mend: download it again; it "
         "may be "
         "cut short.\n"},
        {"<html/>",
         "gb.xml:1: 'html': is no Atom feed. Allowed: feed. Mend: name the Green Button file itself.\n"},
        {"<feed/>", "gb.xml: has no readings: there is no MeterReading in it. Mend: ask for a file with interval data.\n"},
        {feed(untyped),
         "gb.xml:3: MeterReading: names no ReadingType of this file. Allowed: a link rel=related to "
         "exactly one. Mend: ask for a complete file.\n"},
        {type("<uom>72", "<uom>169"),
         "gb.xml:4: uom '169': is no unit of a house's energy. Allowed: uom 72 (Wh), or "
         "uom 38 (W) with dataQualifier 2 (average).\n"},
        {type("<uom>72", "<dataQualifier>8</dataQualifier><uom>38"),
         "gb.xml:4: dataQualifier '8': is no mean over an interval. Allowed: uom 72 (Wh), or uom 38 (W) with "
         "dataQualifier 2 (average).\n"},
        {type("Behaviour>4<", "Behaviour>12<"),
         "gb.xml:4: accumulationBehaviour '12': is no way energy is counted here. Allowed: 4 (energy of each "
         "interval), 1 or 3 (readings of a register).\n"},
        {type("<accumulationBehaviour>4</accumulationBehaviour>", ""),
         "gb.xml:4: accumulationBehaviour: is missing, so what a value counts is not known. Allowed: 4 "
         "(energy of each "
         "interval), 1 or 3 (readings of a register). Mend: ask the utility for a complete file.\n"},
        {with(type("<flowDirection>1", "<flowDirection>7"), "Multiplier>0", "Multiplier>4"),
         "gb.xml:4: flowDirection '7': is no direction of a house's energy. Allowed: 1 (delivered), 19 "
         "(received), 4 "
         "(net), 20 (total).\n"
         "gb.xml:4: powerOfTenMultiplier '4': is no multiplier of the schema. Allowed: -12 -9 -6 -3 -2 -1 0 "
         "1 2 3 6 9 "
         "12.\n"},
        {block("<IntervalReading><value>1</value></IntervalReading>"),
         "gb.xml:5: timePeriod: is missing, and nothing else says the reading's time. Allowed: a timePeriod, "
         "or the "
         "block's interval and the type's intervalLength.\n"},
        {block(reading(kNoon, 900, 1) + "\n<IntervalReading><timePeriod><duration>900</duration></timePeriod>"
                                        "<value>1.5</value></IntervalReading>"),
         "gb.xml:6: start: is missing. Allowed: a whole number.\n"
         "gb.xml:6: value '1.5': is not a whole number. Allowed: a whole number.\n"},
        {block(reading(-5, 900, 1)),
         "gb.xml:5: start '-5': is no time of a meter's. Allowed: seconds since 1970, up to the year "
         "2400.\n"},
        {block(reading(kNoon, 900, 99'999'999'999)),
         "gb.xml:5: value '99999999999': is more than any house uses. Allowed: up to a gigawatt-hour. Mend: "
         "is "
         "powerOfTenMultiplier right?\n"},
        {"<!DOCTYPE f [<!ENTITY a \"1\"><!ENTITY b \"&a;&a;&a;\">]>" +
             block("<IntervalReading><value>&b;</value></IntervalReading>"),
         "gb.xml:5: timePeriod: is missing, and nothing else says the reading's time. Allowed: a timePeriod, "
         "or the "
         "block's interval and the type's intervalLength.\n"
         "gb.xml:5: value '&b;': is not a whole number. Allowed: a whole number.\n"},
        {block(""), "gb.xml:3: MeterReading: has no readings. Mend: ask for a file with interval data.\n"},
    };
    for (const Case& faulty : cases) {
        INFO(faulty.text);
        CHECK(faults_of(faulty.text) == faulty.message);
    }
}

TEST_CASE("a block tied to no meter is told, not dropped in silence") {
    FeedParts parts;
    parts.more =
        entry("UsagePoint/7/MeterReading/1/IntervalBlock/1", "UsagePoint/7/MeterReading/1/IntervalBlock", "",
              "<IntervalBlock>" + reading(kNoon, 900, 1) + "</IntervalBlock>");
    const auto read = parse_green_button(feed(parts), "gb.xml");
    REQUIRE(read.ok());
    CHECK(told(read.value().warnings) ==
          "gb.xml:6: IntervalBlock 'UsagePoint/7/MeterReading/1/IntervalBlock/1': belongs to no MeterReading "
          "of this "
          "file: not read.\n");
}
