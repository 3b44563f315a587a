#pragma once
/// @file
/// @brief Whether run times of leaving can be right, and which one was probably miscopied.
/// @par Source
/// Two digits in the other order: common practice, no source. The weights are choices of this
/// library, tried on drawn plans.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief Whole numbers of the same digits with two of them in the other order, least first.
[[nodiscard]] inline std::vector<double> digits_exchanged(double x) {
  if (!(x >= 10.0 && x < 1e6) || x != std::floor(x)) return {};
  const std::string written = std::to_string(std::lround(x));
  std::set<double> found;
  for (std::size_t i = 0; i < written.size(); ++i)
    for (std::size_t j = i + 1; j < written.size(); ++j) {
      std::string other = written;
      std::swap(other[i], other[j]);
      if (other != written && other.front() != '0') found.insert(std::stod(other));
    }
  return {found.begin(), found.end()};
}

/// @brief Run times of leaving, row by row.
struct RunTimes {
  std::vector<double> leave{};  ///< [min]
  std::vector<double> travel{}; ///< To each row from the one before [min].
  std::vector<bool> switches{}; ///< Whether a gas is taken up at it.
  double bottom_left = 0.0;     ///< Run time [min].

  /// @brief Whether each is later than the one before.
  [[nodiscard]] bool rise() const {
    double last = bottom_left;
    return std::all_of(leave.begin(), leave.end(),
                       [&](double now) { return now > std::exchange(last, now); });
  }

  /// @brief Minutes at each row.
  [[nodiscard]] std::vector<double> stays() const {
    std::vector<double> minutes;
    double last = bottom_left;
    for (std::size_t j = 0; j < leave.size(); ++j)
      minutes.push_back(leave[j] - std::exchange(last, leave[j]) - travel[j]);
    return minutes;
  }
};

/// @brief A run time that was probably miscopied.
struct RunTimeSlip {
  std::size_t row = 0;
  std::optional<double> meant{}; ///< [min]; nothing: it is wrong, what was meant is not clear.
};

/// @brief Finds the one run time that does not go with the others.
class SlipSearch {
public:
  explicit SlipSearch(const RunTimes& times) : times_(times) {}

  /// @brief Nothing where they rise and nothing is odd about them, or where one slip explains
  /// nothing.
  [[nodiscard]] std::optional<RunTimeSlip> find() const {
    if (times_.rise()) return exchanged_though_rising();
    if (const auto slip = best_exchange()) return RunTimeSlip{slip->row, slip->meant};
    return odd_one();
  }

private:
  struct Exchange {
    double roughness = 0.0;
    std::size_t row = 0;
    double meant = 0.0;
    bool odd = false; // what is left is odd all the same
  };

  /// The exchange of two digits in one row with which the ascent is the smoothest.
  [[nodiscard]] std::optional<Exchange> best_exchange(bool must_mend = false) const {
    std::optional<Exchange> best;
    for (std::size_t j = 0; j < times_.leave.size(); ++j)
      for (const double meant : digits_exchanged(times_.leave[j])) {
        RunTimes mended = times_;
        mended.leave[j] = meant;
        if (!mended.rise() || !has_time(mended)) continue;
        const Exchange one{roughness(mended), j, meant, odd(mended)};
        if (must_mend && one.odd) continue;
        if (!best || one.roughness < best->roughness) best = one;
      }
    return best;
  }

  /// They rise with the wrong number too, but then two stays are wrong.
  [[nodiscard]] std::optional<RunTimeSlip> exchanged_though_rising() const {
    constexpr double clearly = 0.8;
    if (!odd(times_)) return {};
    const auto best = best_exchange(true);
    if (!best || best->roughness > roughness(times_) - clearly) return {};
    return RunTimeSlip{best->row, best->meant};
  }

  /// The row without which the others rise; of two such neighbours the later one.
  [[nodiscard]] std::optional<RunTimeSlip> odd_one() const {
    for (std::size_t j = times_.leave.size(); j-- > 0;) {
      RunTimes others = times_;
      others.leave.erase(others.leave.begin() + static_cast<std::ptrdiff_t>(j));
      if (others.rise()) return RunTimeSlip{j, {}};
    }
    return {};
  }

  /// Whole minutes may hide half of one.
  [[nodiscard]] static bool has_time(const RunTimes& times) {
    const std::vector<double> stays = times.stays();
    return std::all_of(stays.begin(), stays.end(), [](double stay) { return stay >= -0.51; });
  }

  /// On one gas a shallower stop is not much shorter than the one before.
  [[nodiscard]] static bool odd(const RunTimes& times) {
    const std::vector<double> stays = times.stays();
    for (std::size_t j = 1; j < stays.size(); ++j)
      if (!times.switches[j] && stays[j] < stays[j - 1] - 1.0 && stays[j] < 0.7 * stays[j - 1])
        return true;
    return false;
  }

  /// Sum of the steps between the logarithms of neighbouring stays. A fall on one gas weighs
  /// double; a switch makes a step by itself, and weighs half.
  [[nodiscard]] static double roughness(const RunTimes& times) {
    const std::vector<double> stays = times.stays();
    double sum = 0.0;
    for (std::size_t j = 1; j < stays.size(); ++j) {
      const double step =
          std::log((std::max(stays[j], 0.0) + 1.0) / (std::max(stays[j - 1], 0.0) + 1.0));
      const double weight = times.switches[j] ? 0.5 : step < 0.0 ? 2.0 : 1.0;
      sum += weight * std::abs(step);
    }
    return sum;
  }

  const RunTimes& times_;
};

} // namespace upline::detail
