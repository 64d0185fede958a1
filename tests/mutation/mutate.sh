#!/usr/bin/env bash
# Breaks the planner on purpose, one way at a time, in a copy; the test named beside each break must fail.
#   mutate.sh SOURCE COMPILER
#
# Takes minutes, so it runs with LULLWATT_LONG set and is else skipped.
set -euo pipefail
source=$1 compiler=$2
if [ -z "${LULLWATT_LONG:-}" ]; then
  echo "skipped: breaking the planner on purpose takes minutes; tools/test --long does it"; exit 4
fi
copy=$(mktemp -d)
trap 'rm -rf "$copy"' EXIT
cp -r "$source/lib" "$source/tests" "$copy"
cd "$copy"

keep=(lib/core/plan/*.cpp lib/core/quantity/*.cpp lib/core/site/{headroom,site,timed_ceiling,unbalance}.cpp
      lib/core/tariff/{bill_dates,price_curve,stretches,window}.cpp lib/core/time/{holidays,zone}.cpp lib/solver/cbc.cpp
      tests/support/{main,instances,plan_checker,joint_instances,joint_checker,joint_by_hand}.cpp tests/unit/site/headroom_test.cpp
      tests/unit/plan/{brute_force,taper_brute_force,explain_brute_force,month_brute_force}_test.cpp
      tests/unit/plan/{assemble_joint,joint,joint_any_floor,joint_brute_force,joint_model,joint_level}_test.cpp)

catch=()
[ -e /usr/include/catch2/catch.hpp ] && catch=(-DLULLWATT_CATCH2_V2)
flags=(-std=c++20 -O1 -Ilib -Itests "${catch[@]}" "-DLULLWATT_SOURCE_DIR=\"$copy\"")
libraries=(-lCbcSolver -lCbc -lCgl -lOsiClp -lClpSolver -lClp -lOsi -lCoinUtils)
[ ${#catch[@]} -gt 0 ] || libraries+=(-lCatch2)

object() { echo "objects/${1//\//_}.o"; }
mkdir objects
# build NEWER: compiles what changed; every file that may include a changed header when NEWER is a header.
build() {
  local file jobs=()
  for file in "${keep[@]}"; do
    if [ ! -e "$(object "$file")" ] || [ "$file" = "${1:-}" ] || [[ ${1:-} = *.hpp && $file = lib/core/plan/* ]]; then
      jobs+=("$file")
    fi
  done
  printf '%s\n' "${jobs[@]}" | xargs -P "$(nproc)" -I{} bash -c \
    'f={}; exec "$@" -c "$f" -o "objects/${f//\//_}.o"' _ "$compiler" "${flags[@]}" || return 1
  "$compiler" $(for file in "${keep[@]}"; do object "$file"; done) "${libraries[@]}" -o broken
}

build || { echo "FAILED: the unbroken copy does not build"; exit 1; }
cp -r objects sound
./broken >/dev/null || { echo "FAILED: the unbroken copy fails its own tests"; exit 1; }
echo "ok: the unbroken copy passes"

failed=0
# breaks WHAT FILE FROM TO TEST: with FROM become TO in FILE, TEST fails.
breaks() {
  local what=$1 file=$2 from=$3 to=$4 test=$5 status
  cp "$file" original
  FROM=$from TO=$to perl -0pi -e 's/\Q$ENV{FROM}\E/$ENV{TO}/ or exit 1' "$file" ||
    { echo "FAILED: $what: '$from' is not in $file"; cp original "$file"; failed=1; return; }
  if ! build "$file"; then
    echo "FAILED: $what: does not build"; failed=1
  else
    status=0
    timeout 300 ./broken "${test//,/\\,}" >said 2>&1 || status=$?  # a comma would begin another test's name
    if grep -qi "no tests\? \(ran\|cases\)" said; then
      echo "FAILED: $what: there is no test '$test'"; failed=1
    elif [ $status -eq 0 ]; then
      echo "FAILED: $what: '$test' passes all the same"; failed=1
    else
      echo "ok: $what: caught by '$test'"
    fi
  fi
  cp original "$file"
  cp sound/* objects
}

every_plan='no plan of a tiny grid is better in shortfall, cost, starts and preference, in this order'
breaks "a window one ampere short" lib/core/plan/tolls.hpp \
  'toll.reach = slot.hi - slot.lo;' 'toll.reach = std::max(slot.hi - slot.lo - 1, 0);' "$every_plan"
breaks "a start that costs nothing" lib/core/plan/grid.cpp \
  'start / grid.thirds_per_money * grid.per_money + grid.per_start' 'grid.per_start' "$every_plan"
breaks "a floor that waits" lib/core/plan/grid.cpp 'if (floor.holds(t)) {' 'if (false) {' "$every_plan"
breaks "a bound above the cost" lib/core/plan/lagrangian.cpp \
  '.value + dual.multiplier * dual.target;' '.value + dual.multiplier * dual.target + grid.per_money;' "$every_plan"
breaks "a limit one unit too low" lib/core/plan/grid.cpp '- lost) - 1;' '- lost) - 2;' "$every_plan"
breaks "a leg that is not looked at" lib/core/site/headroom.cpp \
  'if (!at.legs.has(leg)) continue;' 'if (!at.legs.has(leg) || leg == Leg::L2) continue;' \
  'the leg with the least room limits the point'
breaks "a plug-in that forgets the last slot" lib/core/plan/value.cpp \
  'for (std::size_t t = count; t-- > 0;) rest[t]' 'for (std::size_t t = count - 1; t-- > 0;) rest[t]' \
  'the value of every plug-in is what solving from there gives'
breaks "a battery that never tapers" lib/core/plan/table.cpp \
  'for (const TaperStep& step : problem_.taper) {' 'for (const TaperStep& step : std::vector<TaperStep>{}) {' \
  'a battery that tapers is planned as well as any plan there is'
breaks "a step of the taper that is passed at full current" lib/core/plan/table.cpp \
  'if (bands[i].most >= amps) continue;' 'if (bands[i].most >= 0) continue;' \
  'a battery that tapers is planned as well as any plan there is'
breaks "a car set by hand that somebody stops" lib/core/plan/block.cpp \
  'if (slot.most < WholeAmps(amps)) return std::nullopt;' 'if (slot.most < WholeAmps(amps)) break;' \
  'by hand no start and current that nobody has to stop is better, and a floor waits only to lack less'
breaks "an overhead that is not lost" lib/core/plan/table.cpp \
  'const std::int64_t gain = gained(slot, drawn, from.energy, steps, beyond);' \
  'const std::int64_t gain = gained(slot, drawn, from.energy, steps, beyond) + slot.lost;' \
  'what charging loses by the hour is planned as well as any plan there is'
breaks "a car that wakes after all" lib/core/plan/table.cpp \
  'return mode == off ? off : asleep;' 'return off;' \
  'a car that does not wake gets the best single run of each presence'
breaks "a price cap that is only a price" lib/core/plan/grid.cpp \
  'grid.slots[t].cost += grid.per_above;' '(void)grid;' \
  'above the price cap is only charged what would else be short, and as little as can be'
every_peak="under charges for peaks the plan is the best of all there are, in the household's order"
breaks "an interval without its budget" lib/core/plan/budget.cpp \
  'std::min({group.units, carried, grid.limit})' 'std::min(carried, grid.limit)' "$every_peak"
breaks "a peak without the house" lib/core/plan/peak.cpp \
  'static_cast<Wide>(interval.house.count()) * length + car * kPerThird' 'car * kPerThird' "$every_peak"
breaks "a step that begins where the car does" lib/core/plan/month.cpp \
  'return along(account, used + taken) - along(account, used);' 'return along(account, taken);' \
  'a price by steps is planned with the steps the plan ends in'

every_joint_plan='joint: with a solver, shortfalls and cost are the best of every plan there is'
every_bound='joint: without a solver, bounds hold and what is called proven is the best of every plan'
every_programme="joint: the programme for a solver has the cheapest plans' cost for its optimum, and their amperes"
breaks "a row that one car is left out of" lib/core/plan/shared_rows.cpp \
  'if (!loads(site_, site_.points[wanted_[i].point], node, leg)) continue;' \
  'if (i == 0 || !loads(site_, site_.points[wanted_[i].point], node, leg)) continue;' \
  'joint: rows stand where two wanted cars load the same leg of a node'
breaks "a joint plan that looks at one leg only" lib/core/plan/joint_grid.cpp \
  'for (const SharedRow& row : problem.rows) {' \
  'for (const SharedRow& row : problem.rows) { if (row.leg > 0) continue;' \
  'joint: every leg that a car loads holds, and each leg by itself'
breaks "a row's capacity one ampere too high" lib/core/plan/joint_grid.cpp \
  'push_back(std::max(0, amps.count()))' 'push_back(std::max(0, amps.count() + 1))' "$every_bound"
breaks "a row's capacity one ampere too low" lib/core/plan/joint_grid.cpp \
  'push_back(std::max(0, amps.count()))' 'push_back(std::max(0, amps.count() - 1))' "$every_joint_plan"
breaks "a joint start that costs nothing" lib/core/plan/joint_grid.cpp \
  'start_thirds(car.start_cost) / grid.thirds_per_money * grid.per_money + grid.per_start' 'grid.per_start' \
  'joint: a start that costs more than it saves is not made'
breaks "a joint plan one unit short of what it may bring" lib/core/plan/joint_grid.cpp \
  '0 : grid.cars[car].need + grid.cars[car].slack;' '0 : grid.cars[car].need + std::max<std::int64_t>(grid.cars[car].slack - 1, 0);' \
  "$every_joint_plan"
breaks "a bound that forgets what the rows are worth" lib/core/plan/joint_bound.cpp \
  'value -= multipliers_.at()[r][t] * row.capacity[t] * grid_.weight[t];' '' "$every_bound"
breaks "what is short compared by energy and not by share" lib/core/plan/joint_level.hpp \
  'const Wide one = a.part * b.whole;
        const Wide other = b.part * a.whole;' 'const Wide one = a.part; const Wide other = b.part;' \
  "$every_joint_plan"
breaks "short cars that hand nothing over" lib/core/plan/joint_together.cpp \
  'level(grid, amps, work);' '' 'joint: however little time there is, what is short is shared and no room is left'
breaks "the smaller shortfalls left as they are" lib/core/plan/joint_short.cpp \
  'for (const std::size_t car : must) fixed[car] = greatest;' 'for (const std::size_t car : open) fixed[car] = greatest;' \
  "$every_joint_plan"
breaks "floors that wait in a joint plan" lib/core/plan/joint_grid.cpp \
  '    force_floors(grid, problem);' '    (void)force_floors;' \
  'joint: floors are charged at once, the greatest share missing first, whatever it costs'
breaks "floors dealt by name alone" lib/core/plan/joint_floor.cpp \
  'one != other ? one > other : ' '' \
  'joint: floors are charged at once, the greatest share missing first, whatever it costs'
breaks "too much ruled out before the solver looks" lib/core/plan/joint_narrow.cpp \
  'const Wide left = allowed - charging;' 'const Wide left = (allowed - charging) / 2;' \
  'joint: what is ruled out before a solver looks is in no plan that is cheaper'
breaks "a programme whose starts are free" lib/core/plan/joint_model.cpp \
  'term(starts, on, -1);' '' "$every_programme"
breaks "a programme that holds one car less at once" lib/core/plan/joint_model.cpp \
  'row(-MixedProgramme::kUnbounded, static_cast<double>(fit));' \
  'row(-MixedProgramme::kUnbounded, static_cast<double>(fit) - 1);' "$every_programme"
breaks "a programme without its rows" lib/core/plan/joint_model.cpp \
  'term(together, amps_[car][t], 1);' '' "$every_programme"
breaks "a programme that takes the current there is not" lib/core/plan/joint_model.cpp \
  'if (slot.missing > 0) add_gap(slot, amps, on);' '' "$every_programme"
wrong_solver='joint: a solver that errs is believed neither an impossible plan nor a bound above a plan there is'
breaks "a solver's amperes that nobody checks" lib/core/plan/joint_close.cpp \
  'if (feasible(grid, targets, amps)) {' 'if (true) {' "$wrong_solver"
breaks "a solver's bound that nobody checks" lib/core/plan/joint_close.cpp \
  'if (bound > found.money_bound && bound <= grid.money(search.cost())) {' 'if (bound > found.money_bound) {' "$wrong_solver"
breaks "a car in turn that forgets the others" lib/core/plan/joint_rest.cpp \
  'if (other != index) left = left - WholeAmps(amps[other][t]);' '(void)other;' \
  'joint: the problem that is left for one car names the row that the others fill'
breaks "a floor that waits for other cars" lib/core/plan/joint_any.cpp \
  'floors_(floors_first(problem, apart_, together_)),' 'floors_(empty_draft(problem)),' \
  'joint: a floor of a car that is set apart comes before what any other car charges'
exit $failed
