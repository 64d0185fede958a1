#!/usr/bin/env bash
# tools/layers.cmake refuses each kind of include that goes against the layout, and allows what it should.
#   layers_test.sh SOURCE
set -euo pipefail
. "$(dirname "$0")/support.sh"
layers=(cmake -D "ROOT=$tree" -P "$1/tools/layers.cmake")

refuses() { empty; put "$1" "$2"; expect "refused in $1: $2" 1 "$1: $3" "${layers[@]}"; }
allows() { empty; put "$1" "$2"; expect "allowed in $1: $2" 0 "" "${layers[@]}"; }

refuses lib/core/time/a.hpp '#include "core/tariff/b.hpp"' 'core/time may not look at core/tariff'
refuses lib/core/quantity/a.cpp '  #  include "core/time/b.hpp"' 'core/quantity may not look at core/time'
refuses lib/core/tariff/a.cpp '#include "core/site/b.hpp"' 'core/tariff may not look at core/site'
refuses lib/core/plan/a.cpp '#include "core/control/b.hpp"' 'core/plan may not look at core/control'
refuses lib/core/site/a.hpp '#include "core/nowhere/b.hpp"' 'core/site may not look at core/nowhere'
refuses lib/core/helpers/a.hpp '#include <vector>' 'core/helpers is not a folder of the layout'
refuses lib/core/loose.hpp '#include <vector>' 'core has folders only'
refuses lib/core/plan/a.cpp '#include "io/fault/fault.hpp"' 'core includes only core'
refuses lib/core/plan/a.cpp '#include "../../io/fault/fault.hpp"' 'core includes only core'
refuses lib/core/plan/a.cpp '#include <iostream>' 'core is pure'
refuses lib/core/plan/a.cpp '#include <condition_variable>' 'core is pure'
refuses lib/core/plan/a.cpp '#include <fmt/core.h>' 'core links the standard library'
refuses lib/core/plan/a.cpp '#include <date/tz.h>' 'core links the standard library'
refuses lib/core/plan/a.cpp '#include <pugixml.hpp>' 'core links the standard library'
refuses lib/core/plan/a.cpp '#include <unistd.h>' 'core links the standard library'
refuses lib/core/plan/a.cpp 'const auto now = std::chrono::system_clock::now();' 'core asks a clock'
refuses lib/io/csv/a.cpp '#include "tools/lullwatt/run.hpp"' 'lib looks at neither daemon nor tools'
refuses lib/solver/a.cpp '#include "io/fault/fault.hpp"' 'lib/solver looks at core only'
refuses lib/solver/a.hpp '#include <coin/CbcModel.hpp>' 'JSON, YAML, XML, COIN-OR, Boost, log and Catch headers stay out'
refuses lib/io/csv/a.hpp '#include <pugixml.hpp>' 'JSON, YAML, XML, COIN-OR, Boost, log and Catch headers stay out'
refuses lib/io/settings/a.hpp '#include <yaml-cpp/yaml.h>' 'JSON, YAML, XML, COIN-OR, Boost, log and Catch headers stay out'
refuses tools/lullwatt/a.hpp '#include <nlohmann/json.hpp>' 'JSON, YAML, XML, COIN-OR, Boost, log and Catch headers stay out'
refuses daemon/loop/a.hpp '#include <boost/asio/io_context.hpp>' 'JSON, YAML, XML, COIN-OR, Boost, log and Catch headers stay out'

allows lib/core/plan/a.cpp '#include "core/site/b.hpp"'
allows lib/core/rehearse/a.cpp '#include "core/watch/b.hpp"'
allows lib/core/time/a.hpp '#include <date/date.h>'
allows lib/core/time/a.hpp '#include <vector>'
allows lib/solver/a.cpp '#include <coin/CbcModel.hpp>'
allows lib/io/settings/a.cpp '#include <yaml-cpp/yaml.h>'
allows tools/lullwatt/a.cpp '#include <nlohmann/json.hpp>'

empty
put lib/core/plan/a.cpp '#include <iostream>'
put lib/core/time/b.cpp '#include "io/c.hpp"'
expect "every bad include is named, the first" 1 'lib/core/plan/a.cpp: core is pure' "${layers[@]}"
expect "every bad include is named, the second" 1 'lib/core/time/b.cpp: core includes only core' "${layers[@]}"
exit $((failures > 0))
