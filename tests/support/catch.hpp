// One include for the test library, whichever major version is installed.
#pragma once

#ifdef LULLWATT_CATCH2_V2
#include <catch2/catch.hpp>
#else
#include <catch2/catch_all.hpp>
using Catch::Approx;
#endif

#include <string_view>

namespace lullwatt::tests {

// Says why the running case could not be tried; the program then ends with 4, which ctest counts as skipped.
void note_skip(std::string_view reason);

}  // namespace lullwatt::tests

// Leaves a test case (not a section of one) as skipped: neither passed nor failed.
#define SKIP_CASE(reason)                   \
    do {                                    \
        lullwatt::tests::note_skip(reason); \
        return;                             \
    } while (false)
