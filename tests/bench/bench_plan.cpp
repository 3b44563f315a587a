// Microseconds for one exact plan, and for the exponentials in it, which are its floor.
//
// How to build and run it, and how the exponentials are counted: README.md beside this file.

#include <upline/upline.hpp>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <string_view>
#include <utility>

namespace {

using Clock = std::chrono::steady_clock;

/// Transcendental functions of one plan. The program cannot count them while it is timed:
/// count_exponentials.py counts, and says so when these numbers no longer hold.
struct Counts {
  long lanes;  ///< Exponentials in rows of sixteen.
  long single; ///< Exponentials one by one, in the search for a wait.
  long oxygen; ///< pow, log1p and expm1 of the oxygen sums.
};
constexpr Counts per_plan{416, 126, 108};

/// The Quince Blossom (invented): 57 m, 25 min on 18/45, then 50 % and oxygen; 40/80, last stop
/// 6 m, nothing rounded, no pause at a switch.
std::pair<upline::Dive, upline::Rules> quince() {
  upline::Dive dive;
  dive.levels = {{upline::metres(57.0), upline::minutes(25.0)}};
  dive.gases = {"18/45", "50", "O2"};
  upline::Rules rules{.factors = upline::GradientFactors::parse("40/80")};
  rules.rounding = upline::Rounding::exact;
  rules.switch_time = upline::minutes(0.0);
  rules.ladder.last_stop = upline::metres(6.0);
  return {dive, rules};
}

/// Keeps the optimiser from leaving out what nobody reads.
volatile double sink = 0.0;

/// Least microseconds of one call: the best of many batches, so that what else the machine does
/// is left out.
template <class F>
double microseconds(int calls, F&& f) {
  constexpr int batches = 400;
  double best = HUGE_VAL;
  for (int batch = 0; batch < batches; ++batch) {
    const auto begun = Clock::now();
    for (int call = 0; call < calls; ++call) f();
    const std::chrono::duration<double, std::micro> spent = Clock::now() - begun;
    best = std::min(best, spent.count() / calls);
  }
  return best;
}

double cost_of_lanes() {
  upline::detail::LaneArray x;
  for (Eigen::Index i = 0; i < x.size(); ++i) x[i] = -0.01 * static_cast<double>(i + 1);
  double shift = 0.0;
  return microseconds(2000,
                      [&] {
                        shift = shift > 1.0 ? 0.0 : shift + 1e-3; // never twice the same
                        const upline::detail::LaneArray y = (x - shift).exp();
                        sink = y[0] + y[15];
                      }) /
         static_cast<double>(x.size());
}

double cost_of_single() {
  double x = 0.0;
  return microseconds(20000, [&] {
    x = x > 2.0 ? 0.0 : x + 1e-3;
    sink = std::exp(-x);
  });
}

/// Mean of the three that the oxygen sums call.
double cost_of_oxygen() {
  double x = 0.1;
  return microseconds(10000,
                      [&] {
                        x = x > 2.0 ? 0.1 : x + 1e-3;
                        sink = std::pow(x, 5.0 / 6.0) + std::log1p(x) + std::expm1(-x);
                      }) /
         3.0;
}

bool row_1_holds(const upline::Plan& plan) {
  constexpr double run_time = 67.145731; // reference_rows.csv, row 1
  constexpr double half_a_unit = 5e-7;
  const double got = in_minutes(plan.run_time);
  if (std::abs(got - run_time) <= half_a_unit) return true;
  std::fprintf(stderr, "run time is %.9f, expected %.6f\n", got, run_time);
  return false;
}

} // namespace

int main() {
  const auto [dive, rules] = quince();
  if (!row_1_holds(upline::plan(dive, rules))) return EXIT_FAILURE;

#ifdef UPLINE_COUNT_EXPONENTIALS
  upline::counted::lanes = upline::counted::single = upline::counted::oxygen = 0;
  (void)upline::plan(dive, rules);
  std::printf("%ld %ld %ld\n", upline::counted::lanes, upline::counted::single,
              upline::counted::oxygen);
  std::printf("%ld %ld %ld\n", per_plan.lanes, per_plan.single, per_plan.oxygen);
#else
  const double plan = microseconds(
      100, [&, &d = dive, &r = rules] { sink = in_minutes(upline::plan(d, r).run_time); });
  const double loading = cost_of_lanes() * static_cast<double>(per_plan.lanes) +
                         cost_of_single() * static_cast<double>(per_plan.single);
  const double oxygen = cost_of_oxygen() * static_cast<double>(per_plan.oxygen);
  std::printf("one exact plan of row 1, with oxygen, gas and cautions: %6.2f us\n", plan);
  std::printf("its exponentials, %ld in rows of 16 and %ld single:       %6.2f us\n",
              per_plan.lanes, per_plan.single, loading);
  std::printf("its powers and logarithms of oxygen, %ld:               %6.2f us\n", per_plan.oxygen,
              oxygen);
  std::printf("plan to all of these: %.2f; to the exponentials of loading: %.2f\n",
              plan / (loading + oxygen), plan / loading);
#endif
  return EXIT_SUCCESS;
}
