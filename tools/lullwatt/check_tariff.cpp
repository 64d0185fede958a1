#include "tools/lullwatt/check_tariff.hpp"

#include <ostream>

#include <date/date.h>
#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "io/tariff_file/tariff_age.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "tools/lullwatt/site_option.hpp"
#include "tools/lullwatt/words.hpp"

namespace lullwatt::tools {

Exit check_tariff(const std::string& file, bool json, Shell& shell) {
    const auto read = io::read_tariff_file(file);
    if (!read.ok()) {
        print_faults(shell, read.faults(), json);
        if (!json)
            shell.err << fmt::format("{} fault{}.\n", read.faults().size(),
                                     read.faults().size() == 1 ? "" : "s");
        return exit_of(read.faults());
    }
    // A file without a clock of its own knows no other day than that of UTC.
    const CivilDate today{date::floor<date::days>(system_now())};
    const auto notices = io::old_prices(file, today);
    const auto& tariff = read.value();
    if (json) {
        nlohmann::ordered_json answer{{"tariff", tariff.name},
                                      {"currency", tariff.currency},
                                      {"faults", nlohmann::ordered_json::array()},
                                      {"revisions", nlohmann::ordered_json::array()},
                                      {"old_prices", nlohmann::ordered_json::array()}};
        for (const auto& revision : tariff.revisions) answer["revisions"].push_back(day_text(revision.from));
        for (const io::Fault& notice : notices) answer["old_prices"].push_back(io::text(notice));
        shell.out << answer.dump(2) << '\n';
        return Exit::done;
    }
    shell.out << fmt::format("{} ({}): in order, {} revision{}, the newest from {}, in {}.\n", tariff.name,
                             file, tariff.revisions.size(), tariff.revisions.size() == 1 ? "" : "s",
                             day_text(tariff.revisions.back().from), tariff.currency);
    for (const io::Fault& notice : notices) shell.out << "OLD PRICES: " << io::text(notice) << '\n';
    return Exit::done;
}

}  // namespace lullwatt::tools
