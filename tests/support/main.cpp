#ifdef LULLWATT_CATCH2_V2
#define CATCH_CONFIG_RUNNER
#endif
#include "support/catch.hpp"

int main(int argc, char** argv) { return Catch::Session().run(argc, argv); }
