#include <exception>
#include <iostream>
#include <string>
#include <unistd.h>
#include <vector>

#include "io/fault/printable.hpp"
#include "tools/lullwatt/run.hpp"

int main(int argc, char** argv) {
    try {
        const bool interactive = isatty(STDIN_FILENO) == 1;
        const bool watched = isatty(STDERR_FILENO) == 1;
        const auto exit = lullwatt::tools::run({argv + 1, argv + argc}, std::cin, std::cout, std::cerr,
                                               interactive, watched);
        return static_cast<int>(exit);
    } catch (const std::exception& failure) {
        std::cerr << "lullwatt: " << lullwatt::io::printable(failure.what(), 1000) << '\n';
        return 1;
    }
}
