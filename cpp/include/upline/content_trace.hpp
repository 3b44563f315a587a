#pragma once
/// @file
/// @brief What each cylinder of a diver holds at any moment of a plan.
///
/// Exact where it is read: within a row the volume breathed follows from the pressure on the ramp,
/// and cylinders of one mix are emptied one after the other.
/// @par Source
/// docs/theory.md, sections "Gas" and "Real gas".

#include <upline/consumption.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cstddef>
#include <vector>

namespace upline {

/// @brief Contents against run time; straight lines between the moments draw them.
struct ContentTrace {
  std::vector<Minutes> run_time{};            ///< Ascending.
  std::vector<std::vector<Litres>> content{}; ///< For each moment, of each cylinder.
};

namespace detail {

/// Walks the rows of a plan, and reads the cylinders at the moments where their lines bend.
class ContentReader {
public:
  ContentReader(const Consumption& c, const Plan& plan)
      : c_(c), plan_(plan), place_(plan.dive.environment.place()) {
    for (const Cylinder& one : c.supply.cylinders) content_.push_back(one.content());
  }

  [[nodiscard]] ContentTrace read() {
    trace_.run_time.push_back(minutes(0.0));
    trace_.content.push_back(content_);
    for (std::size_t k = 0; k < plan_.rows.size(); ++k) {
      if (plan_.rows[k].ends > plan_.rows[k].begins) within(k);
      content_ = c_.rows[k].content;
      if (plan_.rows[k].ends > trace_.run_time.back()) add(in_minutes(plan_.rows[k].ends));
      trace_.content.back() = content_;
    }
    return trace_;
  }

private:
  void add(double run_time) {
    trace_.run_time.push_back(minutes(run_time));
    trace_.content.push_back(content_);
  }

  void within(std::size_t k) {
    const Row& row = plan_.rows[k];
    const RowUse& use = c_.rows[k];
    const double stressed = in_minutes(c_.stress_from.value_or(plan_.run_time));
    const Breathing breathing(row, place_, calm_rate(plan_, row, c_.supply.rates).base(),
                              c_.supply.rates.stress.base(), stressed);
    const std::vector<Litres> before = content_;
    for (const double moment : bends(row, use, breathing, stressed)) {
      double breathed = breathing.until(moment); // [L]
      for (std::size_t j = 0; j < before.size(); ++j) {
        const double taken = std::clamp(breathed, 0.0, in_litres(use.taken[j]));
        content_[j] = before[j] - litres(taken);
        breathed -= taken;
      }
      add(moment);
    }
  }

  /// Moments inside a row at which a line bends: the stress begins, a cylinder is empty, and on
  /// ramps, where lines are curves, some more.
  [[nodiscard]] static std::vector<double> bends(const Row& row, const RowUse& use,
                                                 const Breathing& breathing, double stressed) {
    const double begins = in_minutes(row.begins);
    const double ends = in_minutes(row.ends);
    std::vector<double> moments{stressed};
    double given = 0.0; // [L]
    for (const Litres taken : use.taken) {
      if (!(taken > litres(0.0))) continue;
      given += in_litres(taken);
      moments.push_back(breathing.moment_of(given));
    }
    constexpr int parts = 8; // of a ramp: the line is off its curve by 1/256 of what is taken
    for (int j = 1; j < parts && row.from != row.to; ++j)
      moments.push_back(begins + (ends - begins) * j / parts);
    constexpr double apart = 1e-9; // [min]
    std::erase_if(moments, [&](double at) { return !(at > begins + apart && at < ends - apart); });
    std::sort(moments.begin(), moments.end());
    moments.erase(std::unique(moments.begin(), moments.end()), moments.end());
    return moments;
  }

  const Consumption& c_;
  const Plan& plan_;
  Place place_;
  std::vector<Litres> content_{};
  ContentTrace trace_{};
};

} // namespace detail

/// @brief What each cylinder holds, at the ends of rows and wherever its line bends.
/// @param c    What was drawn.
/// @param plan From which dive.
[[nodiscard]] inline ContentTrace content_trace(const Consumption& c, const Plan& plan) {
  return detail::ContentReader(c, plan).read();
}

} // namespace upline
