#pragma once
// What the test files share: the tables of validation/data, the demo dive, and a replay of a plan
// that is independent of the library's own update, limit line and audit.

#include <upline/upline.hpp>

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <fstream>
#include <limits>
#include <map>
#include <optional>
#include <sstream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace support {

// ---- tables ------------------------------------------------------------------------------------

/// One row of a table; a column that does not exist, or a number that is none, fails the test.
class Record {
public:
  explicit Record(std::map<std::string, std::string> cells) : cells_(std::move(cells)) {}

  [[nodiscard]] const std::string& text(const std::string& column) const {
    const auto cell = cells_.find(column);
    if (cell == cells_.end()) throw std::runtime_error("no column " + column);
    return cell->second;
  }
  [[nodiscard]] bool has(const std::string& column) const { return !text(column).empty(); }
  [[nodiscard]] double number(const std::string& column) const {
    const std::string& cell = text(column);
    char* end = nullptr;
    const double value = std::strtod(cell.c_str(), &end);
    if (cell.empty() || *end != '\0') throw std::runtime_error(column + " is no number: " + cell);
    return value;
  }

private:
  std::map<std::string, std::string> cells_;
};

/// Cells of one line; a cell in double quotes may hold commas.
inline std::vector<std::string> cells_of(const std::string& line) {
  std::vector<std::string> cells(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      cells.emplace_back();
    else if (c != '\r')
      cells.back() += c;
  }
  return cells;
}

/// Rows of validation/data/<name>.csv, comment lines dropped; at least one.
inline std::vector<Record> table(const std::string& name) {
  const std::string path = std::string(UPLINE_VALIDATION_DATA) + "/" + name + ".csv";
  std::ifstream file(path);
  if (!file) throw std::runtime_error("cannot read " + path);
  std::vector<std::string> head;
  std::vector<Record> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line.front() == '#') continue;
    const std::vector<std::string> cells = cells_of(line);
    if (head.empty()) {
      head = cells;
      continue;
    }
    if (cells.size() != head.size()) throw std::runtime_error(path + ": ragged row: " + line);
    std::map<std::string, std::string> row;
    for (std::size_t j = 0; j < head.size(); ++j) row[head[j]] = cells[j];
    rows.emplace_back(std::move(row));
  }
  if (rows.empty()) throw std::runtime_error(path + " holds no row");
  return rows;
}

/// Pieces of a cell between separators.
inline std::vector<std::string> split(const std::string& text, char separator) {
  std::vector<std::string> pieces;
  std::istringstream in(text);
  for (std::string piece; std::getline(in, piece, separator);) pieces.push_back(piece);
  return pieces;
}

/// Absolute difference, for checks against a tolerance in the units of the value.
template <class T>
[[nodiscard]] T off(T got, T wanted) {
  using std::abs;
  return abs(got - wanted);
}

// ---- dives -------------------------------------------------------------------------------------

inline upline::Dive single_level(double depth, double bottom_time,
                                 std::vector<upline::GasChoice> gases) {
  upline::Dive dive;
  dive.levels = {{upline::metres(depth), upline::minutes(bottom_time)}};
  dive.gases = std::move(gases);
  return dive;
}

/// The dive on the wreck of the Quince Blossom (invented): keel at 57 m.
inline upline::Dive quince() { return single_level(57.0, 25.0, {"18/45", "50", "O2"}); }

/// Nothing rounded and no time spent at a switch, so that the plan is the bare ascent.
inline upline::Rules bare_rules(double low, double high) {
  upline::Rules rules{.factors = {low, high}};
  rules.rounding = upline::Rounding::exact;
  rules.switch_time = upline::minutes(0.0);
  return rules;
}

/// Rules of the first reference row.
inline upline::Rules quince_rules() {
  upline::Rules rules = bare_rules(0.4, 0.8);
  rules.ladder.last_stop = upline::metres(6.0);
  return rules;
}

/// Of a plan or a replay.
template <class Result>
std::vector<const upline::Caution*> cautions_of(const Result& result, upline::CautionCode code) {
  std::vector<const upline::Caution*> found;
  for (const upline::Caution& caution : result.cautions)
    if (caution.code == code) found.push_back(&caution);
  return found;
}

template <class Result>
const upline::Caution* caution_of(const Result& result, upline::CautionCode code) {
  const auto found = cautions_of(result, code);
  return found.empty() ? nullptr : found.front();
}

/// Whether a text holds a piece.
inline bool holds(const std::string& text, const std::string& piece) {
  return text.find(piece) != std::string::npos;
}

/// Calls `f` and returns the error it throws; nothing thrown is an empty optional.
template <class E, class F>
std::optional<E> thrown(F&& f) {
  try {
    f();
  } catch (const E& error) {
    return error;
  }
  return {};
}

// ---- independent replay ------------------------------------------------------------------------

using Real = long double;

/// Tensions carried by the textbook form of the ramp solution, in long double.
class LongWalk {
public:
  LongWalk(const upline::CompartmentSet& set, const upline::Place& place,
           const upline::Tissues& start)
      : set_(&set), place_(place) {
    for (std::size_t i = 0; i < upline::compartment_count; ++i) {
      nitrogen_[i] = start.nitrogen[i];
      helium_[i] = start.helium[i];
    }
  }

  /// Travel, or a stay where the depths are equal.
  void move(const upline::Gas& gas, Real from, Real to, Real minutes) {
    if (!(minutes > 0.0L)) return;
    const Real dry = pressure(from) - Real(place_.vapour);
    const Real rate = (pressure(to) - pressure(from)) / minutes;
    const Real n2 = 1.0L - Real(gas.oxygen) - Real(gas.helium);
    for (std::size_t i = 0; i < upline::compartment_count; ++i) {
      carry(nitrogen_[i], dry * n2, rate * n2, set_->nitrogen.half_time[i], minutes);
      carry(helium_[i], dry * Real(gas.helium), rate * Real(gas.helium), set_->helium.half_time[i],
            minutes);
    }
  }

  /// Largest tolerated minus ambient pressure at a depth and factor [bar].
  [[nodiscard]] Real beyond(Real depth, Real factor) const {
    Real worst = -std::numeric_limits<Real>::infinity();
    for (std::size_t i = 0; i < upline::compartment_count; ++i)
      worst = std::max(worst, tolerated(i, factor) - pressure(depth));
    return worst;
  }

  [[nodiscard]] Real tolerated(std::size_t i, Real factor) const {
    const Real total = nitrogen_[i] + helium_[i];
    const Real a =
        (Real(set_->nitrogen.a[i]) * nitrogen_[i] + Real(set_->helium.a[i]) * helium_[i]) / total;
    const Real b =
        (Real(set_->nitrogen.b[i]) * nitrogen_[i] + Real(set_->helium.b[i]) * helium_[i]) / total;
    return (total - a * factor) / (factor / b - factor + 1.0L);
  }

  [[nodiscard]] Real pressure(Real depth) const {
    return Real(place_.surface) + depth * Real(place_.per_metre);
  }
  [[nodiscard]] Real nitrogen(std::size_t i) const { return nitrogen_[i]; }
  [[nodiscard]] Real helium(std::size_t i) const { return helium_[i]; }

private:
  /// P = pi0 + R (t - 1/k) - (pi0 - P0 - R/k) exp(-k t), as printed by Schreiner and Kelley 1971.
  static void carry(Real& tension, Real inspired, Real rate, Real half_time, Real t) {
    const Real k = std::log(2.0L) / half_time;
    tension = inspired + rate * (t - 1.0L / k) - (inspired - tension - rate / k) * std::exp(-k * t);
  }

  const upline::CompartmentSet* set_;
  upline::Place place_;
  std::array<Real, upline::compartment_count> nitrogen_{};
  std::array<Real, upline::compartment_count> helium_{};
};

/// Tissues at the beginning of a plan.
inline upline::Tissues start_of(const upline::Plan& plan) {
  if (plan.dive.start) return plan.dive.start->tissues;
  return upline::equilibrium_with_air(plan.dive.environment.acclimatised_pressure(),
                                      plan.dive.environment.place().vapour);
}

/// The limit line in its own words: low at and below the anchor, linear above it, high at 0.
inline Real line_factor(const upline::Plan& plan, Real depth) {
  const Real low = plan.rules.factors.low();
  const Real high = plan.rules.factors.high();
  if (depth <= 0.0L) return high;
  if (!plan.anchor || depth >= Real(plan.anchor->base())) return low;
  return high + (low - high) * depth / Real(plan.anchor->base());
}

/// Worst moment found by sampling.
struct Sampled {
  Real beyond = -std::numeric_limits<Real>::infinity(); ///< Tolerated minus ambient [bar].
  Real run_time = 0.0L;
  Real depth = 0.0L;
};

/// Samples a plan from leaving the bottom on: `step` minutes apart, at both ends of every row and
/// where the line has a kink or a jump: at the anchor and just below the surface.
inline Sampled sampled_worst(const upline::Plan& plan, Real step = 1.0L / 60.0L) {
  LongWalk replay(upline::compartment_set(plan.rules.model), plan.dive.environment.place(),
                  start_of(plan));
  Sampled worst;
  for (const upline::Row& row : plan.rows) {
    const Real from = row.from.base();
    const Real to = row.to.base();
    const Real begins = row.begins.base();
    const Real minutes = Real(row.ends.base()) - begins;
    const auto look = [&](Real share) {
      const Real depth = share == 1.0L ? to : from + (to - from) * share;
      LongWalk then = replay;
      then.move(row.gas, from, depth, minutes * share);
      const Real beyond = then.beyond(depth, line_factor(plan, depth));
      if (beyond > worst.beyond) worst = {beyond, begins + minutes * share, depth};
    };
    if (row.begins.base() >= plan.bottom_time.base()) {
      const auto pieces = std::max(1L, static_cast<long>(std::ceil(minutes / step)));
      for (long j = 0; j <= pieces; ++j) look(Real(j) / Real(pieces));
      const Real anchor = plan.anchor ? Real(plan.anchor->base()) : from;
      if (anchor < from && anchor > to) look((from - anchor) / (from - to));
      if (to == 0.0L) look(1.0L - 1e-9L);
    }
    replay.move(row.gas, from, to, minutes);
  }
  return worst;
}

} // namespace support
