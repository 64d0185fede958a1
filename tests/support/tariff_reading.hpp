// A tariff file of the tree, read or the test ends with what is wrong with it; and its prices.
#pragma once

#include <string>

#include "core/tariff/own_clock.hpp"
#include "core/tariff/price_curve.hpp"
#include "io/tariff_file/tariff_file.hpp"
#include "io/zone/zone.hpp"
#include "support/catch.hpp"

namespace lullwatt::testing {

// `file` relative to the checkout.
inline tariff::Tariff read_tariff(const std::string& file) {
    const auto read = io::read_tariff_file(std::string(LULLWATT_SOURCE_DIR "/") + file);
    if (!read.ok()) {
        std::string all;
        for (const auto& fault : read.faults()) all += text(fault) + "\n";
        FAIL(all);
    }
    return read.value();
}

inline Zone zone(const std::string& name, Interval needed) {
    const auto loaded = io::load_zone(name, needed, needed.begin);
    if (!loaded.ok()) FAIL(text(loaded.faults().front()));
    return loaded.value();
}

// By the tariff's own clock, which is not the site's.
inline tariff::PriceCurve curve(const tariff::Tariff& tariff, Interval span) {
    const auto own = tariff::own_clock(tariff, span);
    const Zone clock = own ? *own : zone(std::get<std::string>(tariff.clock), span);
    const auto priced = tariff::price_curve(tariff, clock, span);
    REQUIRE(std::holds_alternative<tariff::PriceCurve>(priced));
    return std::get<tariff::PriceCurve>(priced);
}

}  // namespace lullwatt::testing
