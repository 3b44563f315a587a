#pragma once
/// @file
/// @brief Goes along a plan and loses, at every moment, each cylinder and each pair of each diver.

#include <upline/losing/branch.hpp>
#include <upline/losing/holdings.hpp>
#include <upline/losing/moment.hpp>
#include <upline/losing/sequel.hpp>
#include <upline/loss.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief The ascent taken after a loss, and what it asks for.
struct Choice {
  Mixes left = 0;
  std::size_t stop = 0; ///< Number of the last stop.
  const Branch* branch = nullptr;
  Demand demand;

  /// What closes, then the sooner up; else an ascent, then the less that is missing.
  [[nodiscard]] bool better_than(const Choice& other) const {
    if (other.branch == nullptr) return true;
    if (demand.closes != other.demand.closes) return demand.closes;
    if (demand.closes) return branch->ends < other.branch->ends;
    if (branch->reason.empty() != other.branch->reason.empty()) return branch->reason.empty();
    return demand.short_by < other.demand.short_by;
  }
};

/// @brief The moment that is worst so far; one without an ascent is worse than any litres.
struct WorstSoFar {
  bool any = false;
  bool no_ascent = false;
  double depth = 0.0;
  double run_time = 0.0;
  Mixes left = 0;
  std::size_t stop = 0;
  Demand demand;

  void offer(const PlanMoment& now, const Choice& choice) {
    const bool none = !choice.branch->reason.empty();
    if (any && no_ascent && (!none || now.depth <= depth)) return;
    if (any && !no_ascent && !none && choice.demand.short_by <= demand.short_by) return;
    *this = {true, none, now.depth, now.run_time, choice.left, choice.stop, choice.demand};
  }
};

/// @brief The largest content that one mix must have.
struct ReserveSoFar {
  double wanted = 0.0;
  double there = 0.0;
  double at = 0.0;
  double filled = 0.0;                  // before the dive, over all moments
  std::vector<std::size_t> cylinders{}; // of the diver
};

/// @brief One loss along the dive.
struct LossCourse {
  LostCylinders answer;
  WorstSoFar own;
  WorstSoFar shared;
  bool own_so_far = true;
  bool shared_so_far = true;
  std::vector<ReserveSoFar> reserves; // by mix
};

/// @brief Finds out about all losses of a team.
class LossSurvey {
public:
  /// @param rules One for each last stop allowed; that of the plan first.
  LossSurvey(const Plan& plan, const LostGas& asked, const std::vector<Rules>& rules)
      : asked_(asked), walk_(plan), floors_(all_cylinders(asked.divers), walk_.place()),
        finder_(walk_, floors_, rules, in_minutes(asked.rules.stress_for)) {
    for (std::size_t diver = 0; diver < asked.divers.size(); ++diver) {
      first_.push_back(total_);
      total_ += asked.divers[diver].cylinders.size();
      holdings_.emplace_back(walk_, asked.divers[diver]);
      add_losses(diver);
    }
    held_.resize(asked.divers.size());
  }

  [[nodiscard]] std::vector<LostCylinders> run(const std::vector<double>& moments) {
    for (const double run_time : moments) {
      finder_.move_to(run_time);
      count_what_is_held();
      for (LossCourse& course : courses_) lose(course);
    }
    std::vector<LostCylinders> answers;
    for (LossCourse& course : courses_) answers.push_back(finished(course));
    return answers;
  }

private:
  [[nodiscard]] static std::vector<const Cylinder*>
  all_cylinders(const std::vector<DiverSupply>& divers) {
    std::vector<const Cylinder*> all;
    for (const DiverSupply& diver : divers)
      for (const Cylinder& one : diver.cylinders) all.push_back(&one);
    return all;
  }

  void add_losses(std::size_t diver) {
    const std::size_t count = asked_.divers[diver].cylinders.size();
    for (std::size_t j = 0; j < count; ++j) add_loss(diver, {j});
    for (std::size_t j = 0; j < count; ++j)
      for (std::size_t k = j + 1; k < count; ++k) add_loss(diver, {j, k});
  }

  void add_loss(std::size_t diver, std::initializer_list<std::size_t> cylinders) {
    LossCourse& course = courses_.emplace_back();
    course.answer.diver = diver;
    course.answer.cylinders = cylinders;
    course.reserves.resize(walk_.mixes().size());
  }

  /// Cylinders that give anything at this depth.
  void count_what_is_held() {
    const std::size_t here = floors_.number_of(finder_.now().depth);
    for (std::size_t diver = 0; diver < holdings_.size(); ++diver) {
      holdings_[diver].move_to(finder_.now());
      held_[diver].clear();
      const std::vector<Cylinder>& cylinders = asked_.divers[diver].cylinders;
      for (std::size_t j = 0; j < cylinders.size(); ++j) {
        const auto mix = walk_.find(cylinders[j].gas());
        const double content = holdings_[diver].content(j);
        const std::size_t number = first_[diver] + j;
        if (mix && content > floors_.kept_back(number, here) &&
            !holdings_[diver].has_run_out(cylinders[j].gas()))
          held_[diver].push_back({number, *mix, content});
      }
    }
  }

  void add_diver(Store& store, std::size_t diver, const LostCylinders& loss) const {
    for (const HeldCylinder& one : held_[diver]) {
      const auto is_lost = [&](std::size_t j) { return first_[loss.diver] + j == one.number; };
      if (std::none_of(loss.cylinders.begin(), loss.cylinders.end(), is_lost))
        store.cylinders.push_back(one);
    }
    store.hurried += asked_.divers[diver].rates.stress.base();
    store.calm += asked_.divers[diver].rates.resting.base();
    for (std::size_t mix = 0; mix < most_mixes; ++mix)
      store.missing[mix] += holdings_[diver].missing()[mix];
  }

  /// The best of all last stops, on the mixes of one of these.
  [[nodiscard]] Choice best(const Store& store, std::initializer_list<Mixes> mixes) {
    Choice best;
    for (const Mixes left : mixes)
      for (std::size_t stop = 0; stop < finder_.count(); ++stop) {
        Choice one{left, stop, &finder_.branch(left, stop), {}};
        one.demand = demand_of(*one.branch, store, floors_);
        if (one.better_than(best)) best = one;
      }
    return best;
  }

  void lose(LossCourse& course) {
    Store own;
    add_diver(own, course.answer.diver, course.answer);
    const Mixes left = own.mixes();
    const Choice alone = best(own, {left});
    note_limits(course, *alone.branch);
    if (alone.demand.closes) {
      note(course, Closure::own);
      return;
    }
    course.own.offer(finder_.now(), alone);
    note_reserves(course, alone, own);
    if (holdings_.size() == 1) {
      note(course, Closure::unknown);
      return;
    }
    Store team;
    for (std::size_t diver = 0; diver < holdings_.size(); ++diver)
      add_diver(team, diver, course.answer);
    const Choice together = best(team, {left, team.mixes()});
    if (!together.demand.closes) course.shared.offer(finder_.now(), together);
    note(course, together.demand.closes ? Closure::shared : Closure::no);
  }

  /// Also of ascents whose gas closes: gas alone makes none of them fit to be dived.
  void note_limits(LossCourse& course, const Branch& branch) const {
    if (!branch.reason.empty()) return;
    const Minutes now = minutes(finder_.now().run_time);
    if (branch.cns > course.answer.highest_cns) {
      course.answer.highest_cns = branch.cns;
      course.answer.highest_cns_at = now;
    }
    if (branch.density > course.answer.highest_density) {
      course.answer.highest_density = branch.density;
      course.answer.highest_density_at = now;
    }
  }

  void note(LossCourse& course, Closure closure) const {
    const Minutes now = minutes(finder_.now().run_time);
    std::vector<ClosureSpan>& spans = course.answer.spans;
    if (spans.empty() || spans.back().closure != closure) spans.push_back({now, now, closure});
    spans.back().to = now;
    course.own_so_far = course.own_so_far && closure == Closure::own;
    course.shared_so_far =
        course.shared_so_far && (closure == Closure::own || closure == Closure::shared);
    if (course.own_so_far) course.answer.own_until = now;
    if (course.shared_so_far && holdings_.size() > 1) course.answer.shared_until = now;
  }

  void note_reserves(LossCourse& course, const Choice& choice, const Store& own) const {
    const Demand& demand = choice.demand;
    if (!choice.branch->reason.empty()) {
      course.answer.reserves_close = false;
      return;
    }
    for (std::size_t mix = 0; mix < course.reserves.size(); ++mix) {
      if (own.missing[mix] > 0.0) course.answer.reserves_close = false;
      if (demand.wanted[mix] > demand.there[mix])
        note_reserve(course.reserves[mix], mix, demand, own, course.answer.diver);
    }
  }

  void note_reserve(ReserveSoFar& reserve, std::size_t mix, const Demand& demand, const Store& own,
                    std::size_t diver) const {
    std::vector<std::size_t> cylinders;
    double used = -demand.there[mix];
    for (const HeldCylinder& one : own.cylinders) {
      if (one.mix != mix) continue;
      cylinders.push_back(one.number - first_[diver]);
      used += in_litres(asked_.divers[diver].cylinders[cylinders.back()].content());
    }
    reserve.filled = std::max(reserve.filled, used + demand.wanted[mix]);
    if (demand.wanted[mix] <= reserve.wanted) return;
    reserve.wanted = demand.wanted[mix];
    reserve.there = demand.there[mix];
    reserve.at = finder_.now().run_time;
    reserve.cylinders = std::move(cylinders);
  }

  [[nodiscard]] LostCylinders finished(LossCourse& course) {
    LostCylinders& answer = course.answer;
    if (course.own.any) answer.own_worst = told(course.own);
    if (course.shared.any) answer.shared_worst = told(course.shared);
    for (std::size_t mix = 0; mix < course.reserves.size(); ++mix) {
      const ReserveSoFar& reserve = course.reserves[mix];
      if (!(reserve.wanted > 0.0)) continue;
      answer.reserves.push_back(
          reserve_of(walk_.mixes()[mix], asked_.divers[answer.diver], reserve));
      if (!answer.reserves.back().pressure) answer.reserves_close = false;
    }
    return std::move(answer);
  }

  [[nodiscard]] static GasReserve reserve_of(const Gas& gas, const DiverSupply& diver,
                                             const ReserveSoFar& found) {
    GasReserve reserve{.gas = gas,
                       .volume = litres(found.wanted),
                       .there = litres(found.there),
                       .at = minutes(found.at),
                       .cylinders = found.cylinders,
                       .pressure = {},
                       .filled = litres(found.filled),
                       .fill_pressure = {}};
    reserve.pressure = pressure_in(diver, found.cylinders, reserve.volume);
    reserve.fill_pressure = pressure_in(diver, found.cylinders, reserve.filled);
    return reserve;
  }

  /// The pressure at which some cylinders hold this together; nothing where none does.
  [[nodiscard]] static std::optional<GaugePressure>
  pressure_in(const DiverSupply& diver, const std::vector<std::size_t>& cylinders, Litres volume) {
    const auto content = [&](GaugePressure p) {
      Litres sum;
      for (const std::size_t j : cylinders) sum = sum + diver.cylinders[j].content_at(p);
      return sum;
    };
    if (volume > content(highest_gauge_pressure)) return {};
    GaugePressure low = bar_gauge(0.0);
    GaugePressure high = highest_gauge_pressure;
    constexpr int halvings = 50;
    for (int j = 0; j < halvings; ++j) {
      const GaugePressure middle = (low + high) * 0.5;
      (content(middle) < volume ? low : high) = middle;
    }
    return high;
  }

  [[nodiscard]] LossMoment told(const WorstSoFar& worst) {
    finder_.move_to(worst.run_time);
    const Branch& branch = finder_.branch(worst.left, worst.stop);
    LossMoment moment = sequel_of(walk_, finder_, branch, worst.left, worst.stop);
    for (std::size_t mix = 0; mix < walk_.mixes().size(); ++mix)
      if (worst.demand.lacking[mix] > 0.0)
        moment.short_of.push_back({walk_.mixes()[mix], litres(worst.demand.lacking[mix])});
    std::stable_sort(moment.short_of.begin(), moment.short_of.end(),
                     [](const GasShort& a, const GasShort& b) { return a.volume > b.volume; });
    return moment;
  }

  const LostGas& asked_;
  PlanWalk walk_;
  Floors floors_;
  BranchFinder finder_;
  std::size_t total_ = 0;
  std::vector<std::size_t> first_; // number of each diver's first cylinder among all
  std::vector<Holdings> holdings_;
  std::vector<std::vector<HeldCylinder>> held_; // by diver, at this moment
  std::vector<LossCourse> courses_;
};

} // namespace upline::detail
