#pragma once
/// @file
/// @brief Which pairs of gradient factors a table satisfies: the front, not one pair.

#include <upline/checking/judge.hpp>
#include <upline/verdict.hpp>

#include <boost/math/policies/policy.hpp>
#include <boost/math/tools/toms748_solve.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <set>
#include <vector>

namespace upline::detail {

/// @brief Follows the front over low factors.
class PairSearch {
public:
  explicit PairSearch(const TableReader& reader) : reader_(reader) {}

  /// @brief The least high factor up to 1 that is satisfied with a low one.
  [[nodiscard]] std::optional<FactorPair> with_low(double low) {
    highest_ = 1.0;
    return low <= highest_ ? at(low) : std::nullopt;
  }

  /// @brief Pairs at whole per cents of the low factor and at `own`, from the least low factor up
  /// to where low and high meet; up to 100 per cent, or to 150 if there is none. None of them asks
  /// for a higher high factor than one with a lower low factor.
  [[nodiscard]] std::vector<FactorPair> front(double own) {
    highest_ = 1.0;
    std::vector<FactorPair> pairs = up_to_highest(own);
    if (!pairs.empty()) return pairs;
    highest_ = 1.5;
    return up_to_highest(own);
  }

private:
  [[nodiscard]] std::vector<FactorPair> up_to_highest(double own) {
    std::set<double> lows;
    if (own <= highest_) lows.insert(own);
    for (int percent = 1; percent <= std::lround(highest_ * 100.0); ++percent)
      lows.insert(percent / 100.0);
    std::vector<FactorPair> pairs;
    std::optional<double> failed;
    for (const double low : lows) {
      const auto pair = at(low);
      if (!pair) {
        if (pairs.empty()) failed = low;
        continue;
      }
      if (pairs.empty() && failed) add_first(*failed, low, pairs);
      pairs.push_back(*pair);
      if (pair->high <= low) break;
    }
    return undominated(pairs);
  }

  /// The anchor moves with the low factor, so that a stricter one may ask for less at the surface.
  [[nodiscard]] static std::vector<FactorPair> undominated(const std::vector<FactorPair>& pairs) {
    constexpr double resolution = 1e-6;
    std::vector<FactorPair> front;
    for (const FactorPair& one : pairs)
      if (front.empty() || one.high < front.back().high - resolution) front.push_back(one);
    return front;
  }

  static constexpr double slack = 5e-10; // [bar]; half of what counts as beyond the line

  /// The least high factor that is satisfied with a low one.
  [[nodiscard]] std::optional<FactorPair> at(double low) {
    const Judge judge(reader_, GradientFactors(low, highest_));
    const Follower diver = judge.follow({});
    LimitLine line = judge.line_of(diver);
    const auto tightest = [&](double high) {
      line.factors = GradientFactors(low, high);
      return judge.tightest(diver, line);
    };
    Tightest moment = tightest(highest_);
    if (moment.excess > slack) return {};
    double high = low;
    const Tightest at_low = tightest(low);
    if (at_low.excess > slack) {
      using namespace boost::math::policies;
      using Policy = policy<evaluation_error<ignore_error>>;
      const auto beyond = [&](double x) { return tightest(x).excess - slack; };
      const auto close = [](double x, double y) { return y - x <= 1e-12; };
      std::uintmax_t rounds = 100;
      high = boost::math::tools::toms748_solve(beyond, low, highest_, at_low.excess - slack,
                                               moment.excess - slack, close, rounds, Policy())
                 .second;
    }
    moment = tightest(high);
    return FactorPair{low, high, metres(moment.depth), minutes(moment.run_time),
                      moment.compartment};
  }

  /// The front begins between a low factor that fails and one that does not.
  void add_first(double fails, double passes, std::vector<FactorPair>& pairs) {
    constexpr double resolution = 1e-6;
    while (passes - fails > resolution) {
      const double middle = fails + (passes - fails) / 2.0;
      (at(middle) ? passes : fails) = middle;
    }
    pairs.push_back(*at(passes));
  }

  const TableReader& reader_;
  double highest_ = 1.0;
};

} // namespace upline::detail
