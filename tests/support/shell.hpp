// The commands as a shell would run them, and a folder for what they write.
#pragma once

#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <unistd.h>
#include <vector>

#include "tools/lullwatt/run.hpp"

namespace lullwatt::tests {

struct Ran {
    tools::Exit exit;
    std::string out;
    std::string err;
};

inline Ran lullwatt_run(const std::vector<std::string>& arguments, const std::string& typed = {},
                        bool interactive = false) {
    std::istringstream in(typed);
    std::ostringstream out;
    std::ostringstream err;
    const tools::Exit exit = tools::run(arguments, in, out, err, interactive);
    return {exit, out.str(), err.str()};
}

inline std::string config(const char* file) { return std::string(LULLWATT_SOURCE_DIR) + "/config/" + file; }

class Folder {
  public:
    Folder() : path_(std::filesystem::temp_directory_path() / ("lullwatt-test-" + std::to_string(getpid()))) {
        std::filesystem::create_directories(path_);
    }
    ~Folder() { std::filesystem::remove_all(path_); }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    [[nodiscard]] std::string file(const char* name) const { return (path_ / name).string(); }

  private:
    std::filesystem::path path_;
};

inline std::string whole(const std::string& file) {
    std::ostringstream text;
    text << std::ifstream(file).rdbuf();
    return text.str();
}

}  // namespace lullwatt::tests
