// Microseconds for one verdict and milliseconds for one whole check, beside one exact plan.
//
// How to build and run it: README.md beside this file.

#include <upline/upline.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <utility>
#include <vector>

namespace {

/// Keeps the optimiser from leaving out what nobody reads.
volatile double sink = 0.0;

/// Least microseconds of one call: the best of many batches. Time of the processor, because no
/// batch of whole checks is so short that other programs would leave it alone.
template <class F>
double microseconds(int batches, int calls, F&& f) {
  double best = HUGE_VAL;
  for (int batch = 0; batch < batches; ++batch) {
    const std::clock_t begun = std::clock();
    for (int call = 0; call < calls; ++call) f();
    const double spent = static_cast<double>(std::clock() - begun) / CLOCKS_PER_SEC;
    best = std::min(best, spent * 1e6 / calls);
  }
  return best;
}

upline::Rules rules() {
  upline::Rules rules{.factors = upline::GradientFactors::parse("40/80")};
  rules.rounding = upline::Rounding::exact;
  rules.switch_time = upline::minutes(0.0);
  return rules;
}

/// A table cut by hand for the Quince Blossom (invented), 57 m and 25 min.
upline::Table table(const std::vector<std::pair<double, double>>& rows) {
  upline::Table table;
  table.depth = 57.0;
  table.bottom_time = 25.0;
  for (const char* mix : {"18/45", "50", "O2"})
    table.gases.push_back({upline::Gas::parse(mix), {}});
  for (const auto& [depth, minutes] : rows) table.rows.push_back({depth, minutes, {}, {}});
  table.water_said = true;
  table.units = upline::Units::metric;
  table.minutes = upline::MinutesMean::without_travel;
  table.bottom_from = upline::BottomTimeFrom::surface;
  table.switch_minute = upline::SwitchMinute::on_arrival;
  return table;
}

upline::Table usual() {
  return table({{24, 2}, {21, 1}, {18, 2}, {15, 2}, {12, 4}, {9, 5}, {6, 20}});
}

/// Nothing but depths and minutes is said of it: 36 readings.
upline::Table unsaid() {
  upline::Table table = usual();
  table.water_said = false;
  table.units.reset();
  table.minutes.reset();
  table.bottom_from.reset();
  table.switch_minute.reset();
  return table;
}

/// No minutes at all at as many rows as a table may have, or at two.
upline::Table empty(int rows) {
  std::vector<std::pair<double, double>> none;
  for (int j = 0; j < rows; ++j) none.emplace_back(56.0 - j * 50.0 / rows, 0.0);
  return table(none);
}

bool results_hold() {
  const upline::TableVerdict found = upline::verdict(usual(), rules());
  const upline::ReadingVerdict& one = found.readings.front();
  const upline::Repair repair = upline::check(usual(), rules()).repair;
  const bool right = found.readings.size() == 1 && std::abs(one.margin + 0.0418) <= 5e-5 &&
                     std::abs(one.surfacing_fraction - 0.797) <= 5e-4 && repair.minimal() &&
                     upline::verdict(unsaid(), rules()).readings.size() == 36;
  if (!right) std::fprintf(stderr, "the check of the usual table is not what it was\n");
  return right;
}

} // namespace

int main() {
  if (!results_hold()) return EXIT_FAILURE;
  const upline::Rules against = rules();
  upline::Dive dive;
  dive.levels = {{upline::metres(57.0), upline::minutes(25.0)}};
  dive.gases = {"18/45", "50", "O2"};
  const double plan =
      microseconds(400, 100, [&] { sink = in_minutes(upline::plan(dive, against).run_time); });
  std::printf("one exact plan of the same dive:               %9.1f us\n", plan);

  const auto verdict = [&](const char* name, const upline::Table& table, int calls) {
    const double time = microseconds(
        200, calls, [&] { sink = upline::verdict(table, against).readings.front().margin; });
    std::printf("verdict, %-37s %9.1f us, %6.2f plans\n", name, time, time / plan);
  };
  verdict("7 rows that say all of themselves:", usual(), 50);
  verdict("7 rows in 36 readings:", unsaid(), 5);
  verdict("200 rows:", empty(200), 5);

  const auto check = [&](const char* name, const upline::Table& table) {
    const double time =
        microseconds(20, 1, [&] { sink = upline::check(table, against).replay.margin(); });
    std::printf("check, %-39s %9.1f ms, %6.0f plans\n", name, time / 1000.0, time / plan);
  };
  check("7 rows that say all of themselves:", usual());
  check("7 rows in 36 readings:", unsaid());
  check("7 rows without a minute:", empty(7));
  check("2 rows without a minute:", empty(2));
  check("200 rows without a minute:", empty(200));
  return EXIT_SUCCESS;
}
