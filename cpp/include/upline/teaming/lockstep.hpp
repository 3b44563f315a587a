#pragma once
/// @file
/// @brief Several divers on one ascent: no rung is left before each of them may leave it.

#include <upline/error.hpp>
#include <upline/planning/diver.hpp>
#include <upline/schedule.hpp>
#include <upline/teaming/agreement.hpp>
#include <upline/teaming/holds.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline::detail {

/// @brief A rung at which all stop.
struct SharedRung {
  double depth = 0.0;                  ///< [m]
  double arrives = 0.0;                ///< Run time [min].
  double leaves = 0.0;                 ///< Run time [min].
  std::vector<double> ready{};         ///< When each could leave, after the rungs before [min].
  std::vector<std::size_t> bound_by{}; ///< Who asks for that time.
};

/// @brief Settles one rung after the other, in the order in which they are come to.
///
/// All divers arrive together at the first rung that is not settled: they travel alike, and the
/// rungs before are left together. Each says when they could leave it; the latest of these times is
/// held for all. Whoever took up too much while waiting for the others needs longer than that, so
/// they are asked again until the time held is enough for each. From then on nobody's tensions at
/// the end of this rung change any more, so it is settled for good, and the next is looked at. Each
/// round of asking either settles a rung, of which there are finitely many, or puts off one
/// departure; a rung put off more than `most_rounds` times is given up, so that it ends.
class Lockstep {
public:
  explicit Lockstep(const std::vector<NamedDive>& divers) : divers_(divers) {}

  /// @throws InvalidInput or NoAscent naming a diver who cannot make it.
  [[nodiscard]] std::vector<SharedRung> settle() {
    std::vector<std::vector<Stop>> stops = walk();
    for (;;) {
      accept(stops);
      if (settled_.size() == longest(stops)) return settled_;
      ask(stops);
      stops = walk();
    }
  }

  /// @brief The times at which all leave, as holds.
  [[nodiscard]] const std::vector<Hold>& holds() const { return holds_; }

private:
  static constexpr int most_rounds = 100;

  [[nodiscard]] std::vector<std::vector<Stop>> walk() const {
    std::vector<std::vector<Stop>> all;
    all.reserve(divers_.size());
    for (const NamedDive& one : divers_)
      all.push_back(named(one.name, [&] {
        Diver diver(one.dive, one.rules);
        diver.hold_at(holds_);
        diver.dive();
        return diver.stops();
      }));
    return all;
  }

  [[nodiscard]] static std::size_t longest(const std::vector<std::vector<Stop>>& stops) {
    std::size_t most = 0;
    for (const auto& one : stops) most = std::max(most, one.size());
    return most;
  }

  /// Takes the rungs that all leave at the same time.
  void accept(const std::vector<std::vector<Stop>>& stops) {
    while (alike(stops, settled_.size())) {
      const std::size_t i = settled_.size();
      if (!trial_) {
        trial_ = begin(stops, stops.front()[i]);
        bind(*trial_, stops, false);
      }
      settled_.push_back(*trial_);
      trial_.reset();
      rounds_ = 0;
    }
  }

  [[nodiscard]] static bool alike(const std::vector<std::vector<Stop>>& stops, std::size_t i) {
    return std::all_of(stops.begin(), stops.end(), [&](const std::vector<Stop>& one) {
      return i < one.size() && one[i].depth == stops.front()[i].depth &&
             one[i].arrives == stops.front()[i].arrives &&
             one[i].departs == stops.front()[i].departs;
    });
  }

  /// Puts off the departure from the first rung that they leave at different times.
  void ask(const std::vector<std::vector<Stop>>& stops) {
    const bool again = trial_.has_value();
    if (!again) {
      trial_ = begin(stops, first_of(stops));
      const double since =
          in_minutes(divers_.front()
                         .dive.levels[levels_left(divers_.front().dive, trial_->arrives) - 1]
                         .leave_at);
      holds_.push_back({.depth = trial_->depth, .since = since});
    }
    if (++rounds_ > most_rounds) give_up();
    bind(*trial_, stops, again);
    holds_.back().leave_at = trial_->leaves;
  }

  /// The one come to first: the others pass it.
  [[nodiscard]] const Stop& first_of(const std::vector<std::vector<Stop>>& stops) const {
    const Stop* first = nullptr;
    for (const auto& one : stops) {
      if (settled_.size() >= one.size()) continue;
      const Stop& stop = one[settled_.size()];
      if (first == nullptr || stop.arrives < first->arrives) first = &stop;
    }
    return *first;
  }

  [[nodiscard]] SharedRung begin(const std::vector<std::vector<Stop>>& stops,
                                 const Stop& stop) const {
    SharedRung rung{.depth = in_metres(stop.depth), .arrives = in_minutes(stop.arrives)};
    for (const auto& one : stops) {
      const Stop* here = at(one, rung);
      rung.ready.push_back(here == nullptr ? rung.arrives : in_minutes(here->departs));
    }
    return rung;
  }

  /// The latest departure, and who asks for it. While others hold the diver, only those ask who
  /// have to stay longer still.
  void bind(SharedRung& rung, const std::vector<std::vector<Stop>>& stops, bool held) const {
    rung.leaves = rung.arrives;
    for (const auto& one : stops)
      if (const Stop* here = at(one, rung))
        rung.leaves = std::max(rung.leaves, in_minutes(here->departs));
    rung.bound_by.clear();
    for (std::size_t m = 0; m < stops.size(); ++m) {
      const Stop* here = at(stops[m], rung);
      if (here != nullptr && in_minutes(here->departs) == rung.leaves && (here->held_by || held))
        rung.bound_by.push_back(m);
    }
  }

  [[nodiscard]] const Stop* at(const std::vector<Stop>& stops, const SharedRung& rung) const {
    if (settled_.size() >= stops.size()) return nullptr;
    const Stop& stop = stops[settled_.size()];
    return stop.depth == metres(rung.depth) && in_minutes(stop.arrives) == rung.arrives ? &stop
                                                                                        : nullptr;
  }

  [[noreturn]] void give_up() const {
    std::string names;
    for (const std::size_t m : trial_->bound_by)
      names += (names.empty() ? "" : ", ") + divers_[m].name;
    throw NoAscent("no time of leaving " + length_text(metres(trial_->depth)) +
                   " suits every diver: while one waits for another, slow compartments take up "
                   "more (last asked for by " +
                   names + "). Remedy: a richer gas there, or add rungs below it.");
  }

  const std::vector<NamedDive>& divers_;
  std::vector<SharedRung> settled_;
  std::vector<Hold> holds_;         // those of rungs that somebody would leave earlier
  std::optional<SharedRung> trial_; // the rung in hand
  int rounds_ = 0;                  // of asking about it
};

} // namespace upline::detail
