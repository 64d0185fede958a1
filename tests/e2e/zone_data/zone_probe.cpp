// Loads a zone and says what came of it: zone_probe ZONE. For 2026, as on November 1 of that year; exit 0
// with the offset of that day and of July 1, or 1 with the faults.
#include <iostream>

#include "io/zone/zone.hpp"

int main(int argc, char** argv) {
    using namespace lullwatt;
    using namespace date::literals;
    if (argc != 2) return 2;
    const Instant now{date::sys_days{2026_y / nov / 1} + std::chrono::hours{12}};
    const Instant summer{date::sys_days{2026_y / jul / 1}};
    const auto version = io::zone_data_version();
    std::cout << "release: " << (version.ok() ? version.value() : text(version.faults().front())) << '\n';
    const auto zone = io::load_zone(argv[1], {Instant{date::sys_days{2026_y / jan / 1}}, now}, now);
    if (!zone.ok()) {
        for (const io::Fault& fault : zone.faults()) std::cout << "fault: " << text(fault) << '\n';
        return 1;
    }
    std::cout << "loaded: " << zone.value().offset_at(summer).count() << " s in July, "
              << zone.value().offset_at(now).count() << " s in November\n";
    return 0;
}
