// Another program's answer, for checks that share no code with what is tested.
#pragma once

#include <array>
#include <cstdio>
#include <string>

#include "support/catch.hpp"

namespace lullwatt::tests {

struct Process {
    std::string output;
    int status = 0;
};

inline Process run(const std::string& command) {
    Process result;
    std::FILE* pipe = ::popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 4096> buffer{};
    while (const std::size_t size = std::fread(buffer.data(), 1, buffer.size(), pipe)) {
        result.output.append(buffer.data(), size);
    }
    result.status = ::pclose(pipe);
    return result;
}

// python3 with zone data of its own.
inline bool python_can_judge() {
    return run("python3 -c 'import zoneinfo; zoneinfo.ZoneInfo(\"America/Halifax\")' 2>/dev/null").status ==
           0;
}

}  // namespace lullwatt::tests
