#pragma once
/// @file
/// @brief The few rows that serve many cells at the least cost, with a proof or a lower bound.
/// @par Source
/// docs/theory.md, section "Rows for a box of deviations".

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief Cost of serving each cell by each row; what cannot be served is infinite.
struct ServingCosts {
  std::size_t rows = 0;
  std::size_t cells = 0;
  std::vector<double> cost{}; ///< Row by row.

  ServingCosts(std::size_t n, std::size_t m)
      : rows(n), cells(m), cost(n * m, std::numeric_limits<double>::infinity()) {}
  [[nodiscard]] double& at(std::size_t row, std::size_t cell) { return cost[row * cells + cell]; }
  [[nodiscard]] double at(std::size_t row, std::size_t cell) const {
    return cost[row * cells + cell];
  }
};

/// @brief Rows chosen, and how sure it is that none are better.
struct Selection {
  std::vector<std::size_t> rows{}; ///< In rising order.
  std::size_t unserved = 0;        ///< Cells that none of them serves.
  double cost = 0.0;               ///< Of the cells that are served.
  double least = 0.0;              ///< No choice that serves as many cells costs less than this.
  bool proved = false;             ///< That `cost` is the least.
};

/// @brief Finds the rows that serve most cells, and among those the cheapest; the first row is
/// always among them.
///
/// The lower bound lets every cell go unserved for a price of its own (Lagrange's multipliers,
/// found by going along the subgradient); the search then goes through all choices whose bound is
/// not above the best found, so that what it ends with is the least. Any prices give a valid bound.
class Selector {
public:
  Selector(const ServingCosts& costs, std::size_t most_rows)
      : n_(costs.rows), m_(costs.cells), most_(std::min(most_rows, costs.rows)), cost_(costs.cost),
        grain_(whole(costs.cost) ? 1.0 : 0.0) {
    penalise();
  }

  /// @param most_nodes Of the search, before it stops without a proof.
  [[nodiscard]] Selection find(std::size_t most_nodes = 300'000) {
    best_ = improved(greedy());
    best_value_ = value(best_);
    price();
    nodes_ = most_nodes;
    std::vector<std::size_t> chosen{0};
    const bool complete = search(0, chosen, served_by(0), fixed_ + reduced_.front());
    return result(complete);
  }

private:
  /// Whether all costs are whole numbers, so that what is better is better by 1.
  [[nodiscard]] static bool whole(const std::vector<double>& costs) {
    return std::all_of(costs.begin(), costs.end(), [](double c) {
      return std::isinf(c) || std::abs(c - std::round(c)) <= rounding;
    });
  }

  /// Whether choices with this bound can be left out.
  [[nodiscard]] bool no_better(double bound) const {
    constexpr double of_sums = 1e-6;
    return bound >= best_value_ - (grain_ > 0.0 ? grain_ - of_sums : rounding);
  }

  /// A cell left unserved costs more than all that the others can differ by.
  void penalise() {
    double span = 1.0;
    std::vector<double> highest(m_, 0.0);
    for (std::size_t j = 0; j < m_; ++j) {
      double low = std::numeric_limits<double>::infinity();
      double high = -low;
      for (std::size_t i = 0; i < n_; ++i) {
        const double c = cost_[i * m_ + j];
        if (c == std::numeric_limits<double>::infinity()) continue;
        low = std::min(low, c);
        high = std::max(high, c);
      }
      if (high < low) continue; // no row serves it: it costs the same whatever is chosen
      highest[j] = high;
      span += high - low;
    }
    for (std::size_t j = 0; j < m_; ++j) {
      unserved_.push_back(highest[j] + span);
      for (std::size_t i = 0; i < n_; ++i)
        cost_[i * m_ + j] = std::min(cost_[i * m_ + j], unserved_[j]);
    }
  }

  [[nodiscard]] std::vector<double> served_by(std::size_t row) const {
    const auto from = cost_.begin() + static_cast<std::ptrdiff_t>(row * m_);
    return {from, from + static_cast<std::ptrdiff_t>(m_)};
  }

  [[nodiscard]] std::vector<double> with(std::vector<double> now, std::size_t row) const {
    for (std::size_t j = 0; j < m_; ++j) now[j] = std::min(now[j], cost_[row * m_ + j]);
    return now;
  }

  [[nodiscard]] static double sum(const std::vector<double>& x) {
    return std::accumulate(x.begin(), x.end(), 0.0);
  }

  [[nodiscard]] double value(const std::vector<std::size_t>& rows) const {
    std::vector<double> now = served_by(0);
    for (const std::size_t row : rows) now = with(std::move(now), row);
    return sum(now);
  }

  /// One row after the other, each the one that helps most.
  [[nodiscard]] std::vector<std::size_t> greedy() const {
    std::vector<std::size_t> rows{0};
    std::vector<double> now = served_by(0);
    while (rows.size() < most_) {
      std::size_t next = 0;
      double least = sum(now);
      for (std::size_t i = 1; i < n_; ++i) {
        const double then = sum(with(now, i));
        if (then >= least) continue;
        least = then;
        next = i;
      }
      if (next == 0) break;
      rows.push_back(next);
      now = with(std::move(now), next);
    }
    return rows;
  }

  /// Exchanges one row for another as long as that helps.
  [[nodiscard]] std::vector<std::size_t> improved(std::vector<std::size_t> rows) const {
    double least = value(rows);
    for (bool better = true; better;) {
      better = false;
      for (std::size_t k = 1; k < rows.size(); ++k)
        for (std::size_t i = 1; i < n_; ++i) {
          std::vector<std::size_t> other = rows;
          other[k] = i;
          const double then = value(other);
          if (then >= least - rounding) continue;
          rows = std::move(other);
          least = then;
          better = true;
        }
    }
    return rows;
  }

  /// Prices that make the lower bound high, and the rows in the order in which it takes them.
  void price() {
    constexpr int rounds = 400;
    constexpr int every = 20;
    std::vector<double> price = served_by(0);
    for (const std::size_t row : best_) price = with(std::move(price), row);
    bound_ = -std::numeric_limits<double>::infinity();
    double pace = 1.0;
    int idle = 0;
    for (int round = 0; round < rounds && !no_better(bound_); ++round) {
      const double bound = keep_if_best(price);
      if (round % every == 0) offer(improved(taken_));
      idle = bound > bound_ - rounding ? 0 : idle + 1;
      if (idle > 20) {
        pace *= 0.5;
        idle = 0;
      }
      if (!go_along(price, bound, pace)) break;
    }
  }

  void offer(const std::vector<std::size_t>& rows) {
    const double here = value(rows);
    if (here >= best_value_ - rounding) return;
    best_value_ = here;
    best_ = rows;
  }

  /// The bound by these prices; they are kept if it is the highest so far.
  double keep_if_best(const std::vector<double>& price) {
    std::vector<double> reduced(n_, 0.0);
    for (std::size_t i = 0; i < n_; ++i)
      for (std::size_t j = 0; j < m_; ++j)
        reduced[i] += std::min(0.0, cost_[i * m_ + j] - price[j]);
    std::vector<std::size_t> order(n_ - 1);
    std::iota(order.begin(), order.end(), std::size_t{1});
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return reduced[a] < reduced[b]; });
    double bound = sum(price) + reduced.front();
    for (std::size_t k = 0; k + 1 < most_; ++k) bound += reduced[order[k]];
    taken_ = {0};
    for (std::size_t k = 0; k + 1 < most_; ++k) taken_.push_back(order[k]);
    if (bound > bound_) {
      bound_ = bound;
      fixed_ = sum(price);
      reduced_ = std::move(reduced);
      order_ = std::move(order);
    }
    return bound;
  }

  /// A cell served by none of the rows taken becomes dearer, by several cheaper.
  [[nodiscard]] bool go_along(std::vector<double>& price, double bound, double pace) const {
    std::vector<double> way(m_, 1.0);
    double length = 0.0;
    for (std::size_t j = 0; j < m_; ++j) {
      for (const std::size_t i : taken_)
        if (cost_[i * m_ + j] < price[j]) way[j] -= 1.0;
      length += way[j] * way[j];
    }
    if (length == 0.0) return false;
    const double far = pace * (best_value_ - bound + 1e-6) / length;
    for (std::size_t j = 0; j < m_; ++j) price[j] += far * way[j];
    return true;
  }

  /// Goes through all choices that add rows from `next` on, in the order of the bound.
  /// @param bound Of the rows chosen, before those that are still to come.
  [[nodiscard]] bool search(std::size_t next, std::vector<std::size_t>& chosen,
                            const std::vector<double>& now, double bound) {
    if (sum(now) < best_value_ - rounding) offer(chosen);
    const std::size_t left = most_ - chosen.size();
    for (std::size_t k = next; left > 0 && k < order_.size(); ++k) {
      double ahead = bound;
      for (std::size_t more = 0; more < left && k + more < order_.size(); ++more)
        ahead += reduced_[order_[k + more]];
      if (no_better(ahead)) return true; // nor are later rows
      if (nodes_ == 0) return false;
      --nodes_;
      chosen.push_back(order_[k]);
      const bool complete =
          search(k + 1, chosen, with(now, order_[k]), bound + reduced_[order_[k]]);
      chosen.pop_back();
      if (!complete) return false;
    }
    return true;
  }

  [[nodiscard]] Selection result(bool complete) const {
    Selection found{.rows = best_, .proved = complete};
    std::sort(found.rows.begin(), found.rows.end());
    found.rows.erase(std::unique(found.rows.begin(), found.rows.end()), found.rows.end());
    std::vector<double> now = served_by(0);
    for (const std::size_t row : best_) now = with(std::move(now), row);
    double penalties = 0.0;
    for (std::size_t j = 0; j < m_; ++j) {
      if (now[j] < unserved_[j]) {
        found.cost += now[j];
        continue;
      }
      ++found.unserved;
      penalties += unserved_[j];
    }
    found.least = complete ? found.cost : std::min(found.cost, bound_ - penalties);
    return found;
  }

  static constexpr double rounding = 1e-9;
  std::size_t n_;
  std::size_t m_;
  std::size_t most_;
  std::vector<double> cost_; // finite: unserved cells at their penalty
  std::vector<double> unserved_;
  std::vector<std::size_t> best_;
  double best_value_ = 0.0;
  double grain_ = 0.0;             // by which sums differ at least
  double bound_ = 0.0;             // of all choices
  double fixed_ = 0.0;             // sum of the prices that give it
  std::vector<double> reduced_;    // what each row takes off it
  std::vector<std::size_t> order_; // all rows but the first, by that
  std::vector<std::size_t> taken_; // by the bound of the prices last tried
  std::size_t nodes_ = 0;
};

} // namespace upline::detail
