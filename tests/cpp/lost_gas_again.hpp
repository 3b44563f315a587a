#pragma once
// Lost gas found a second time, by brute force: at one moment the plan's rows are walked, cylinders
// emptied breath by breath in their order, one diver surfaces for every set of gases, and the
// litres are added up. It shares with the library the ascent solver and what a cylinder holds.

#include <upline/lost_gas.hpp>
#include <upline/plan.hpp>
#include <upline/planning/diver.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace again {

using namespace upline;

struct Piece {
  Gas gas{};
  double from = 0.0;
  double to = 0.0;
  double begins = 0.0;
  double ends = 0.0;
};

/// A cylinder and its litres; whose it is, and which of theirs.
struct Held {
  const Cylinder* cylinder = nullptr;
  double content = 0.0;
  std::size_t diver = 0;
  std::size_t place = 0;
};

class BruteForce {
public:
  BruteForce(const Plan& plan, const std::vector<DiverSupply>& team, const LossRules& rules)
      : plan_(plan), team_(team), stress_for_(in_minutes(rules.stress_for)),
        place_(plan.dive.environment.place()), rules_{plan.rules} {
    for (const Depth stop : rules.last_stops) {
      rules_.push_back(plan.rules);
      rules_.back().ladder.last_stop = stop;
    }
    for (const Row& row : plan.rows)
      pieces_.push_back({row.gas, in_metres(row.from), in_metres(row.to), in_minutes(row.begins),
                         in_minutes(row.ends)});
  }

  [[nodiscard]] Closure closure(double t, std::size_t diver,
                                const std::vector<std::size_t>& lost) const {
    bool short_before = false;
    std::vector<Held> all;
    for (std::size_t d = 0; d < team_.size(); ++d) {
      const bool before = breathe_until(t, d, all);
      short_before = short_before || before;
      if (d == diver && before) return team_.size() == 1 ? Closure::unknown : Closure::no;
    }
    std::erase_if(all, [&](const Held& one) {
      return (one.diver == diver && std::find(lost.begin(), lost.end(), one.place) != lost.end()) ||
             one.content <= kept_back(one, depth_at(t));
    });
    std::vector<Held> own = all;
    std::erase_if(own, [&](const Held& one) { return one.diver != diver; });
    if (carried(t, mixes(own), own, {team_[diver]})) return Closure::own;
    if (team_.size() == 1) return Closure::unknown;
    if (short_before) return Closure::no;
    return carried(t, mixes(own), all, team_) || carried(t, mixes(all), all, team_)
               ? Closure::shared
               : Closure::no;
  }

private:
  [[nodiscard]] std::size_t row_at(double t) const {
    std::size_t j = 0;
    while (pieces_[j].ends < t - 1e-9) ++j;
    return j;
  }
  [[nodiscard]] double depth_at(double t) const {
    const Piece& p = pieces_[row_at(t)];
    return p.from + (p.to - p.from) * (t - p.begins) / (p.ends - p.begins);
  }
  [[nodiscard]] double kept_back(const Held& one, double depth) const {
    const double water = std::max(0.0, place_.pressure(depth) - 1.01325);
    return in_litres(one.cylinder->content_at(bar_gauge(water)));
  }
  [[nodiscard]] static std::vector<Gas> mixes(const std::vector<Held>& held) {
    std::vector<Gas> found;
    for (const Held& one : held)
      if (std::find(found.begin(), found.end(), one.cylinder->gas()) == found.end())
        found.push_back(one.cylinder->gas());
    return found;
  }
  [[nodiscard]] static bool has(const std::vector<Gas>& some, const Gas& gas) {
    return std::find(some.begin(), some.end(), gas) != some.end();
  }

  /// Bar-minutes of a piece between two run times.
  [[nodiscard]] double bar_minutes(const Piece& p, double a, double b) const {
    a = std::clamp(a, p.begins, p.ends);
    b = std::clamp(b, p.begins, p.ends);
    const auto pressure = [&](double t) {
      return place_.pressure(p.from + (p.to - p.from) * (t - p.begins) / (p.ends - p.begins));
    };
    return (b - a) * pressure((a + b) / 2.0); // the middle of a ramp is its mean
  }

  /// Takes litres out of the cylinders of a mix, in order; what none gives.
  [[nodiscard]] double draw(std::vector<Held>& held, const Gas& gas, double deepest,
                            double volume) const {
    for (Held& one : held) {
      if (!(one.cylinder->gas() == gas)) continue;
      const double given = std::min(volume, std::max(0.0, one.content - kept_back(one, deepest)));
      one.content -= given;
      volume -= given;
    }
    return volume;
  }

  /// The plan until a moment; whether anything was missing.
  bool breathe_until(double t, std::size_t d, std::vector<Held>& all) const {
    std::vector<Held> held;
    const DiverSupply& diver = team_[d];
    for (std::size_t j = 0; j < diver.cylinders.size(); ++j)
      held.push_back({&diver.cylinders[j], in_litres(diver.cylinders[j].content()), d, j});
    bool lacks = false;
    for (const Piece& p : pieces_) {
      if (p.begins >= t) break;
      const double rate = p.ends <= in_minutes(plan_.bottom_time) ? diver.rates.working.base()
                                                                  : diver.rates.resting.base();
      const double volume = rate * bar_minutes(p, p.begins, t);
      if (draw(held, p.gas, std::max(p.from, p.to), volume) > 1e-9) lacks = true;
    }
    all.insert(all.end(), held.begin(), held.end());
    return lacks;
  }

  /// Whether some ascent on these mixes is carried by these cylinders.
  [[nodiscard]] bool carried(double t, const std::vector<Gas>& left, const std::vector<Held>& held,
                             const std::vector<DiverSupply>& divers) const {
    for (std::size_t stop = 0; stop < rules_.size(); ++stop) {
      const auto ascent = surfaced(t, left, stop);
      if (!ascent) continue;
      std::vector<Held> emptied = held;
      bool enough = true;
      for (const Piece& p : *ascent) {
        if (p.gas.oxygen * place_.pressure(p.to) < in_bar(plan_.rules.min_po2) - 1e-9)
          enough = false;
        double volume = 0.0;
        for (const DiverSupply& one : divers)
          volume += one.rates.stress.base() * bar_minutes(p, t, t + stress_for_) +
                    one.rates.resting.base() * bar_minutes(p, t + stress_for_, 1e9);
        if (draw(emptied, p.gas, p.from, volume) > 1e-9) enough = false;
      }
      if (enough) return true;
    }
    return false;
  }

  [[nodiscard]] bool may_be_breathed(const Gas& gas, double depth) const {
    const double po2 = gas.oxygen * place_.pressure(depth);
    const bool bottom = gas == plan_.dive.gases.front().gas;
    const double most = in_bar(bottom ? plan_.rules.max_po2 : plan_.rules.max_deco_po2) +
                        in_bar(plan_.rules.po2_tolerance);
    return po2 >= in_bar(plan_.rules.min_po2) - 1e-9 && po2 <= most + 1e-9;
  }

  [[nodiscard]] std::optional<std::vector<Piece>> surfaced(double t, const std::vector<Gas>& left,
                                                           std::size_t stop) const {
    const std::size_t row = row_at(t);
    const double bottom_left = in_minutes(plan_.bottom_time);
    const bool going_up = t > bottom_left + 1e-9;
    if (going_up && stop == 0) {
      std::vector<Piece> rest;
      bool all_left = true;
      for (std::size_t j = row; j < pieces_.size(); ++j) {
        Piece p = pieces_[j];
        if (p.ends <= t + 1e-9) continue;
        if (p.begins < t) {
          p.from = depth_at(t);
          p.begins = t;
        }
        all_left = all_left && has(left, p.gas);
        rest.push_back(p);
      }
      if (all_left) return rest;
    }
    Tissues tissues = detail::starting_tissues(plan_.dive.start, plan_.dive.environment,
                                               compartment_set(plan_.rules.model));
    for (const Piece& p : pieces_) {
      const double until = std::min(p.ends, t);
      if (until <= p.begins) break;
      const double rate = (p.to - p.from) / (p.ends - p.begins) * place_.per_metre;
      advance(tissues, compartment_set(plan_.rules.model),
              Segment{until - p.begins, place_.pressure(p.from), rate}, OpenCircuit{p.gas},
              place_.vapour);
    }
    const double depth = depth_at(t);
    const Gas bottom = plan_.dive.gases.front().gas;
    std::optional<Gas> hand;
    if (has(left, pieces_[row].gas))
      hand = pieces_[row].gas;
    else if (has(left, bottom) && may_be_breathed(bottom, depth))
      hand = bottom;
    else
      for (const Gas& gas : left)
        if (!(gas == bottom) && may_be_breathed(gas, depth) && (!hand || gas.oxygen > hand->oxygen))
          hand = gas;
    if (!hand) return {};
    Dive dive = plan_.dive;
    dive.gases = {{has(left, bottom) ? bottom : *hand, {}}};
    for (const GasChoice& choice : plan_.dive.gases)
      if (has(left, choice.gas) && !(choice.gas == dive.gases.front().gas))
        dive.gases.push_back(choice);
    const auto up = [&](const Dive& with) -> std::optional<std::vector<Piece>> {
      std::optional<LimitLine> line;
      if (going_up) {
        std::optional<double> anchor;
        if (plan_.anchor) anchor = in_metres(*plan_.anchor);
        line = LimitLine{plan_.rules.factors, anchor};
      }
      std::vector<Piece> made;
      try {
        detail::Diver diver(with, rules_[stop]);
        diver.surface_from({t, depth, *hand, tissues, line});
        for (const detail::Leg& leg : diver.legs()) {
          if (leg.gas.oxygen * place_.pressure(leg.to) < in_bar(plan_.rules.min_po2) - 1e-9)
            return {};
          made.push_back({leg.gas, leg.from, leg.to, leg.begins, leg.ends});
        }
      } catch (const Error&) {
        return {};
      }
      return made;
    };
    auto found = up(dive);
    if (found || !dive.travel || !has(left, dive.travel->gas) || *hand == dive.travel->gas)
      return found;
    for (const GasChoice& choice : plan_.dive.gases)
      if (choice.gas == dive.travel->gas) return found;
    dive.gases.push_back({dive.travel->gas, {}});
    return up(dive);
  }

  const Plan& plan_;
  const std::vector<DiverSupply>& team_;
  double stress_for_;
  Place place_;
  std::vector<Rules> rules_;
  std::vector<Piece> pieces_;
};

} // namespace again
