// libFuzzer's door: any bytes as a tariff file. DEVELOPERS.md says how to run it.
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "fuzz/price_a_year.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text(reinterpret_cast<const char*>(data), size);  // NOLINT: bytes as libFuzzer has them
    const std::string broken = lullwatt::fuzz::broken_by(text);
    if (broken.empty()) return 0;
    std::fprintf(stderr, "%s\n", broken.c_str());
    std::abort();
}
