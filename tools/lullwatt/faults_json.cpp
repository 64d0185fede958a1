#include "tools/lullwatt/faults_json.hpp"

#include <nlohmann/json.hpp>

namespace lullwatt::tools {

std::string faults_json(const io::Faults& faults) {
    nlohmann::ordered_json list = nlohmann::ordered_json::array();
    for (const io::Fault& raw : faults) {
        const io::Fault fault = io::shown(raw);
        list.push_back({{"file", fault.file},
                        {"line", fault.line},
                        {"column", fault.column},
                        {"key", fault.key},
                        {"value", fault.value},
                        {"fault", fault.what},
                        {"allowed", fault.allowed},
                        {"mend", fault.mend}});
    }
    return list.dump();
}

}  // namespace lullwatt::tools
