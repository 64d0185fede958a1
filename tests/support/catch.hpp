// One include for the test library, whichever major version is installed.
#pragma once

#ifdef LULLWATT_CATCH2_V2
#include <catch2/catch.hpp>
#else
#include <catch2/catch_all.hpp>
using Catch::Approx;
#endif
